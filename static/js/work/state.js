// @ts-check
/**
 * What is true of the car, and the guards of a step: sets only. The rules stand in the server's `trade/checker/`, which
 * compiles them; both run `tests/vectors/guards.json`. Pure.
 *
 * A fact is a word, or a word and a thing: `hot`, `jacked:front end`, `fluid:engine oil`. In `clears`, `when` and `unless` one
 * that ends with `*` stands for every fact that begins so.
 *
 * @typedef {import('./op.js').Rec} Rec
 * @typedef {import('./ledger.js').Effects} Effects
 *
 * Facts, each with the name of the thing that it is about.
 * @typedef {Map<string, string>} State
 *
 * Broken while all of `when` and none of `unless` holds. `{what}` in `say` stands for the things that break it.
 * @typedef {object} Need
 * @property {string} rule
 * @property {string} say
 * @property {string} mend
 * @property {string[]} [when]
 * @property {string[]} [unless]
 *
 * @typedef {{rule: string, say: string, mend: string}} Broken
 */
import { events } from './ledger.js';

/**
 * @param {Iterable<Rec>} records of one car
 * @param {Effects} effects
 * @returns {State}
 */
export function trueNow(records, effects) {
  /** @type {State} */
  const state = new Map();
  for (const item of events(records)) {
    if (item.kind === 'closed') closeByHand(state, item.body.key);
    else if (item.kind === 'undid') state.set(`hand:${item.id}`, item.body.what);
    else apply(state, effects.steps[item.subject]);
  }
  return state;
}

/**
 * What a step that was done makes of it: first what it ends, then what it begins.
 * @param {State} state
 * @param {import('./ledger.js').StepEffect|undefined} effect
 */
function apply(state, effect) {
  if (!effect) return;
  for (const fact of [...(effect.clears ?? []), ...effect.closes]) {
    for (const known of matching(state, fact)) state.delete(known);
  }
  for (const fact of [...effect.opens.map(({ key }) => key), ...(effect.sets ?? [])])
    state.set(fact, thing(fact));
}

/**
 * Nothing that was known of the same thing holds any more.
 * @param {State} state
 * @param {string} key
 */
function closeByHand(state, key) {
  if (!key.includes(':')) return;
  for (const fact of [...state.keys()])
    if (fact.includes(':') && thing(fact) === thing(key)) state.delete(fact);
}

/** `jacked:front end` is about the front end. @param {string} fact */
function thing(fact) {
  const colon = fact.indexOf(':');
  return colon < 0 ? fact : fact.slice(colon + 1);
}

/** @param {State} state @param {string} fact @returns {string[]} in the order of their names */
function matching(state, fact) {
  if (!fact.endsWith('*')) return state.has(fact) ? [fact] : [];
  const beginning = fact.slice(0, -1);
  return [...state.keys()].filter((known) => known.startsWith(beginning)).sort();
}

/**
 * The guards of a step that this state breaks.
 * @param {State} state
 * @param {Need[]} needs
 * @returns {Broken[]}
 */
export function broken(state, needs) {
  const holds = (/** @type {string} */ fact) => matching(state, fact).length > 0;
  return needs
    .filter(({ when = [], unless = [] }) => when.every(holds) && !unless.some(holds))
    .map(({ rule, say, mend, when = [] }) => {
      const names = when.flatMap((fact) => matching(state, fact)).map((fact) => state.get(fact) ?? '');
      return { rule, say: say.replaceAll('{what}', [...new Set(names)].join(', ')), mend };
    });
}
