// @ts-check
/**
 * How long to wait before trying the server again. Pure; vectors: `tests/vectors/backoff.json`.
 *
 * Doubling with a random half, so that several phones which lost the same server do not come back in step.
 */

/** First wait and longest wait, milliseconds. */
export const FIRST = 1_000;
export const LONGEST = 120_000;

/**
 * @param {number} failures how many times in a row it failed, ≥ 1
 * @param {number} random 0 ≤ random < 1
 * @returns {number} whole milliseconds, between half of the step and the step
 */
export function wait(failures, random) {
  const step = Math.min(LONGEST, FIRST * 2 ** Math.min(Math.max(failures, 1) - 1, 20));
  return Math.round(step / 2 + (step / 2) * random);
}
