// @ts-check
/**
 * What to do about an answer: the whole table, pure. Vectors: `tests/vectors/verdict.json`.
 */

/**
 * About an answer as a whole.
 * - `read`: it is an answer to what was asked
 * - `wait`: keep everything, try later
 * - `pair`: stop, ask to pair again, keep everything
 * - `halve`: too much at once: send less
 * @typedef {'read'|'wait'|'pair'|'halve'} Reaction
 *
 * @param {{status: number, again?: string}} answer status 0: there was none
 * @returns {Reaction}
 */
export function react({ status, again = '' }) {
  if (status >= 200 && status < 300) return 'read';
  if (status === 401 || again === 'after-pairing') return 'pair';
  if (again === 'later') return 'wait';
  // The others say nothing about any one operation, which has a verdict of its own: 400, 415 and 422 are about the
  // envelope (another version of the program, something between us and the server), 403 and 404 about the address.
  return status === 413 ? 'halve' : 'wait';
}

/**
 * About one operation.
 * @typedef {{to: 'sent', seq: number, say?: string}
 *   | {to: 'refused', code: string, say: string}
 *   | {to: 'restamp'}
 *   | {to: 'waiting'}} Fate `waiting`: the server said something that this version does not know
 *
 * @param {any} verdict
 * @returns {Fate}
 */
export function fate(verdict) {
  switch (verdict?.is) {
    case 'applied':
    case 'had':
      return { to: 'sent', seq: verdict.seq };
    case 'kept':
      return { to: 'sent', seq: verdict.seq, say: String(verdict.say ?? '') };
    case 'refused':
      if (verdict.again === 'restamp') return { to: 'restamp' };
      if (verdict.again !== 'never') return { to: 'waiting' };
      return { to: 'refused', code: String(verdict.code ?? ''), say: String(verdict.say ?? '') };
    default:
      return { to: 'waiting' };
  }
}
