// @ts-check
/**
 * The guards of one step as they stand now: broken, gone past, or held. Pure. The same as the server's `under/guard.rs`.
 *
 * Whoever goes on past a guard has done so until the step is opened again: then it is asked anew.
 *
 * @typedef {import('./fold.js').Item} Item
 * @typedef {'stop'|'warn'|'note'} Weight
 *
 * @typedef {object} Guard
 * @property {string} rule
 * @property {string} say
 * @property {string} mend
 * @property {Weight} weight
 * @property {string} headline
 * @property {boolean} passed somebody went on all the same
 */
import { broken } from './state.js';

/** @type {Weight[]} */
const WEIGHTS = ['stop', 'warn', 'note'];
/** @type {Record<Weight, string>} */
export const WEIGHT_WORDS = { stop: 'Stop', warn: 'Warn', note: 'Note' };

/**
 * What was gone past since the step was last opened again, by rule: the latest of each.
 * @param {string} step
 * @param {import('./fold.js').CarState} state
 * @returns {Item[]} oldest first
 */
export function wentOn(step, state) {
  const opened = (state.ticks.get(step)?.history ?? []).filter(
    ({ mark, body }) => mark !== 'refused' && body.state === 'open',
  );
  const last = opened.at(-1);
  const past = (state.wentOn.get(step) ?? []).filter(
    (item) => item.mark !== 'refused' && (!last || place(item) > place(last)),
  );
  return past.filter((item, at) => !past.slice(at + 1).some((later) => later.body.rule === item.body.rule));
}

/** Its place in the total order: the parts are of one length each. @param {Item} item */
function place({ hlc, device, id }) {
  return `${hlc} ${device} ${id}`;
}

/**
 * @param {string} step
 * @param {import('./fold.js').CarState} state
 * @param {import('./state.js').State} facts
 * @param {import('./ledger.js').Effects} effects
 * @returns {Guard[]} broken now, the weightiest first
 */
export function guards(step, state, facts, effects) {
  const passed = wentOn(step, state).map(({ body }) => body.rule);
  return broken(facts, effects.steps[step]?.needs ?? [])
    .map(({ rule, say, mend }) => {
      // A rule that this copy has no words for is taken as the weightiest.
      const [weight, headline] = effects.rules?.[rule] ?? ['stop', rule];
      return { rule, say, mend, weight, headline, passed: passed.includes(rule) };
    })
    .sort((a, b) => WEIGHTS.indexOf(a.weight) - WEIGHTS.indexOf(b.weight));
}

/** Those that stop a tick until a reason is given. @param {Guard[]} all */
export function stopping(all) {
  return all.filter(({ passed, weight }) => !passed && weight !== 'note');
}
