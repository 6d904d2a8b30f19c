// @ts-check
/**
 * A job card's condition: derived from its steps, parts, ticks and loose ends, never stored. Pure.
 *
 * The same rule as the server's `trade/condition.rs`; both run `tests/vectors/condition.json`.
 *
 * @typedef {'sketched'|'short'|'ready'|'apart'|'closed-up'|'proven'} Condition
 *
 * @typedef {object} Written what the desk has written
 * @property {number} steps
 * @property {number} specs attached to its steps
 * @property {number} missing_specs tightening steps without a torque, and specs that carry no value
 * @property {number} missing_parts parts of its steps that are neither here nor fitted
 * @property {number} missing_tools steps that ask for a socket or key which the chest lacks
 *
 * @typedef {object} Done what was done
 * @property {number} settled_steps whose latest tick is done or skipped
 * @property {number} loose_ends that its steps have left
 * @property {boolean} rechecked
 *
 * @typedef {Written & Done} Facts
 */

/**
 * What is open on the car outranks everything else that could be said of it.
 * @param {Facts} facts
 * @returns {Condition}
 */
export function condition(facts) {
  if (facts.loose_ends > 0) return 'apart';
  if (facts.steps === 0 || (facts.specs === 0 && facts.settled_steps === 0)) return 'sketched';
  const allSettled = facts.settled_steps === facts.steps;
  if (allSettled) return facts.rechecked ? 'proven' : 'closed-up';
  return facts.missing_parts > 0 || facts.missing_specs > 0 || facts.missing_tools > 0 ? 'short' : 'ready';
}

/**
 * What was done on a card. A recheck counts only when it is later than the card's last tick: what was touched since has
 * not been looked at again.
 * @param {string} card
 * @param {import('./fold.js').CarState} state
 * @param {import('./ledger.js').LooseEnd[]} ends of the whole car
 * @param {import('./ledger.js').Effects} effects
 * @returns {Done}
 */
export function doneOn(card, state, ends, effects) {
  const mine = Object.keys(effects.steps).filter((step) => {
    const effect = effects.steps[step];
    return effect.card === card && !effect.gone;
  });
  const ticks = mine.flatMap((step) => state.ticks.get(step)?.last ?? []);
  const recheck = state.rechecks.get(card)?.last;
  return {
    settled_steps: ticks.filter(({ body }) => body.state !== 'open').length,
    loose_ends: ends.filter(({ step }) => step !== null && mine.includes(step)).length,
    rechecked: Boolean(recheck && ticks.every(({ hlc }) => hlc < recheck.hlc)),
  };
}
