// @ts-check
/**
 * Time worked, as it is typed. The same as `read_minutes` of `server/jobs/form.rs`; both run `tests/vectors/minutes.json`.
 */

/** A day and a night: more is not noted at once. */
const MOST = 24 * 60;

/**
 * @param {string} typed minutes such as 90, or hours and minutes such as 1:30
 * @returns {number|null} null when it is neither, or less than a minute, or more than a day
 */
export function worked(typed) {
  const parts = typed.trim().match(/^(?:(\d{1,4}):([0-5]\d)|(\d{1,6}))$/);
  if (!parts) return null;
  const minutes = parts[3] === undefined ? Number(parts[1]) * 60 + Number(parts[2]) : Number(parts[3]);
  return minutes >= 1 && minutes <= MOST ? minutes : null;
}

/** `45 min`, `1 h 05 min`, `2 h`: as the desk says it. @param {number} minutes */
export function inWords(minutes) {
  const [hours, rest] = [Math.floor(minutes / 60), minutes % 60];
  if (hours === 0) return `${rest} min`;
  return rest === 0 ? `${hours} h` : `${hours} h ${String(rest).padStart(2, '0')} min`;
}
