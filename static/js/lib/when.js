// @ts-check
/**
 * Moments in words, short enough for a status line.
 */

/**
 * `14:02` today, `yesterday 14:02`, `3 Nov 14:02`, `3 Nov 2024` for another year.
 * @param {number} at milliseconds
 * @param {number} [now]
 */
export function moment(at, now = Date.now()) {
  const then = new Date(at);
  const today = new Date(now);
  const clock = timeOfDay(then);
  if (then.toDateString() === today.toDateString()) return clock;
  const yesterday = new Date(today.getFullYear(), today.getMonth(), today.getDate() - 1);
  if (then.toDateString() === yesterday.toDateString()) return `yesterday ${clock}`;
  const day = then.toLocaleDateString('en-GB', { day: 'numeric', month: 'short' });
  return then.getFullYear() === today.getFullYear() ? `${day} ${clock}` : `${day} ${then.getFullYear()}`;
}

/**
 * `14:02`. By hand: the browser's own formatting takes longer than all else that is done in the frame of a tap.
 * @param {Date} then
 */
function timeOfDay(then) {
  return [then.getHours(), then.getMinutes()].map((part) => String(part).padStart(2, '0')).join(':');
}

/**
 * How long ago, roughly: `now`, `4 min`, `3 h`, `2 days`.
 * @param {number} at milliseconds
 * @param {number} [now]
 */
export function age(at, now = Date.now()) {
  const minutes = Math.floor(Math.max(0, now - at) / 60_000);
  if (minutes < 1) return 'now';
  if (minutes < 60) return `${minutes} min`;
  return minutes < 48 * 60 ? `${Math.floor(minutes / 60)} h` : `${Math.floor(minutes / (24 * 60))} days`;
}

/**
 * `1 photo`, `3 photos`.
 * @param {number} n
 * @param {string} one
 * @param {string} [many]
 */
export function count(n, one, many = `${one}s`) {
  return `${n} ${n === 1 ? one : many}`;
}

/**
 * `12 kB`, `3.4 MB`.
 * @param {number} bytes
 */
export function size(bytes) {
  if (bytes < 1000) return `${bytes} B`;
  if (bytes < 1_000_000) return `${Math.round(bytes / 1000)} kB`;
  return `${(bytes / 1_000_000).toFixed(bytes < 10_000_000 ? 1 : 0)} MB`;
}
