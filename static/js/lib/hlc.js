// @ts-check
/**
 * Hybrid logical clock: wall time that never goes back, plus a counter. Pure.
 *
 * Text `wwwwwwwwwwwwwwww-ccccc`: milliseconds since 1970 UTC in 16 decimal digits and a counter in 5, so that comparing
 * the text compares the clock. Vectors: `tests/vectors/hlc.json`.
 * Source of the idea: Kulkarni, Demirbas, Madappa, Avva, Leone, 'Logical Physical Clocks' (2014).
 */

const SHAPE = /^(\d{16})-(\d{5})$/;
const COUNTER_END = 99_999;

/**
 * @param {number} wall milliseconds, ≥ 0
 * @param {number} count 0…99999
 */
export function format(wall, count) {
  return `${String(wall).padStart(16, '0')}-${String(count).padStart(5, '0')}`;
}

/**
 * Milliseconds in a clock; 0 for none or for text that is no clock.
 * @param {string|null|undefined} hlc
 */
export function wall(hlc) {
  const found = SHAPE.exec(hlc ?? '');
  return found ? Number(found[1]) : 0;
}

/**
 * The clock of the next operation: greater than `last`, and not before `now`.
 * @param {string|null|undefined} last greatest clock made or seen so far
 * @param {number} now milliseconds
 */
export function tick(last, now) {
  const at = Math.max(0, Math.floor(now));
  const found = SHAPE.exec(last ?? '');
  if (!found || Number(found[1]) < at) return format(at, 0);
  const count = Number(found[2]) + 1;
  return count > COUNTER_END ? format(Number(found[1]) + 1, 0) : format(Number(found[1]), count);
}

/**
 * What to remember as `last` after seeing another device's clock: the greater one. Text that is no clock is not seen.
 * @param {string|null|undefined} last
 * @param {string} seen
 * @returns {string|null}
 */
export function receive(last, seen) {
  if (!SHAPE.test(seen)) return last ?? null;
  return last && last >= seen ? last : seen;
}

/**
 * @param {string} a
 * @param {string} b
 */
export function compare(a, b) {
  return a < b ? -1 : a > b ? 1 : 0;
}
