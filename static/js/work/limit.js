// @ts-check
/**
 * A reading against its limit, exact: numbers are fractions of whole numbers, never floats. Pure. The rules stand in the
 * server's `trade/limits/`, which hands out numbers only; both run `tests/vectors/limits.json`.
 *
 * @typedef {object} Limit
 * @property {string} what
 * @property {string} says the limit in words
 * @property {string} source
 * @property {string} [kind] of quantity; without one it is judged at the garage
 * @property {[string, string]} [least] limit and margin in base units
 * @property {[string, string]} [most]
 * @property {[string, string]} [possible] what lies outside is no such reading
 * @property {number} [cylinders]
 * @property {[string, string]} [spread] what the lowest is compared with, and how far it may lie below
 * @property {number} [cells]
 *
 * For each unit: what to add, then the two parts of its size in base units.
 * @typedef {Record<string, Record<string, [string, string, string]>>} Scales
 * @typedef {{limits: Limit[], scales: Scales, words: Record<string, string>}} Limits
 *
 * @typedef {{what: string, number: string, unit: string, when: number}} Reading
 *
 * `missing`: cylinders still to be read. `later`: judged when it reaches the garage. `unreadable`: no such reading.
 * @typedef {{outcome: 'pass'|'watch'|'fail'|'later'|'unreadable'} | {outcome: 'missing', missing: number[]}} Verdict
 *
 * @typedef {{top: bigint, bottom: bigint}} Fraction bottom above zero
 */

/** Readings of cylinders that were taken within this time belong together. */
export const TOGETHER_MS = 24 * 60 * 60 * 1000;

/** Share of the allowed spread from which it is watched. */
const WATCH_FROM = { top: 8n, bottom: 10n };

/** @param {string} what */
function keyOf(what) {
  return what.trim().split(/\s+/).join(' ').toLowerCase();
}

/** @param {string} text plain decimal, as the server writes it @returns {Fraction} */
function decimal(text) {
  const [, sign, whole, part = ''] = /^(-?)(\d+)(?:\.(\d+))?$/.exec(text) ?? [];
  if (whole === undefined) throw new Error(`‘${text}’ is no decimal.`);
  const top = BigInt(whole + part);
  return { top: sign ? -top : top, bottom: 10n ** BigInt(part.length) };
}

/**
 * A number as it is typed most: digits with one mark, or a plain fraction. Everything else is left to the garage, as is a
 * comma that may be a thousands mark.
 * @param {string} typed
 * @returns {Fraction|null}
 */
export function typedNumber(typed) {
  const text = typed.trim().replace('−', '-');
  const fraction = /^(\d{1,9})\/(\d{1,4})$/.exec(text);
  if (fraction) {
    const bottom = BigInt(fraction[2]);
    return bottom > 0n ? { top: BigInt(fraction[1]), bottom } : null;
  }
  const plain = /^(-?)(\d{1,15})(?:([.,])(\d{1,12}))?$/.exec(text);
  if (!plain) return null;
  const [, sign, whole, mark, part] = plain;
  if (mark === ',' && part.length === 3 && /[1-9]/.test(whole)) return null;
  return decimal(`${sign}${whole}${part ? `.${part}` : ''}`);
}

/** @param {Fraction} a @param {Fraction} b @returns {Fraction} */
const add = (a, b) => ({ top: a.top * b.bottom + b.top * a.bottom, bottom: a.bottom * b.bottom });
/** @param {Fraction} a @param {Fraction} b @returns {Fraction} */
const less = (a, b) => add(a, { top: -b.top, bottom: b.bottom });
/** @param {Fraction} a @param {Fraction} b @returns {Fraction} */
const times = (a, b) => ({ top: a.top * b.top, bottom: a.bottom * b.bottom });
/** @param {Fraction} a @param {Fraction} b below zero: a is the smaller */
const compare = (a, b) => {
  const [left, right] = [a.top * b.bottom, b.top * a.bottom];
  return left < right ? -1 : left > right ? 1 : 0;
};
const ZERO = { top: 0n, bottom: 1n };

/** @param {Fraction} number @param {[string, string, string]} scale @returns {Fraction} */
function inBase(number, [zero, top, bottom]) {
  const { top: parts } = decimal(top);
  const { top: whole } = decimal(bottom);
  return times(add(number, decimal(zero)), { top: parts, bottom: whole });
}

/**
 * The limit of a reading's name, and which of its cylinders it is: from 0; -1 where it is not judged, as with oil.
 * @param {Limits} all
 * @param {string} what
 * @returns {{limit: Limit, part: number}|null}
 */
export function limitOf({ limits }, what) {
  const key = keyOf(what);
  for (const limit of limits) {
    const own = keyOf(limit.what);
    if (!limit.cylinders && !limit.cells && key === own) return { limit, part: 0 };
    if (!key.startsWith(own)) continue;
    const end = key.slice(own.length);
    const cylinder = /^, cylinder (\d+)(, with oil)?$/.exec(end);
    if (limit.cylinders && cylinder) {
      const at = Number(cylinder[1]);
      if (at >= 1 && at <= limit.cylinders) return { limit, part: cylinder[2] ? -1 : at - 1 };
    }
    if (limit.cells && /^, (cell \d+|acid temperature)$/.test(end)) return { limit, part: -1 };
  }
  return null;
}

/**
 * How the last of the readings stands, with those that were taken with it; null where it has no limit.
 * @param {Limits} all
 * @param {Reading[]} readings oldest first
 * @returns {Verdict|null}
 */
export function verdict(all, readings) {
  const last = readings.at(-1);
  const found = last && limitOf(all, last.what);
  if (!last || !found) return null;
  const { limit, part } = found;
  if (!limit.kind || part < 0) return { outcome: 'later' };
  const scales = all.scales[limit.kind] ?? {};
  if (limit.spread) return spread(limit, scales, cylinders(all, limit, readings, last.when));
  const number = typedNumber(last.number);
  if (!number) return { outcome: 'later' };
  const scale = scales[last.unit];
  return scale ? sides(limit, inBase(number, scale)) : { outcome: 'unreadable' };
}

/** @param {Limit} limit @param {Fraction} reading @returns {Verdict} */
function sides({ least, most, possible }, reading) {
  if (possible) {
    const [low, high] = possible.map(decimal);
    if (compare(reading, low) < 0 || compare(reading, high) > 0) return { outcome: 'unreadable' };
  }
  const rooms = [];
  if (least) rooms.push({ room: less(reading, decimal(least[0])), margin: decimal(least[1]) });
  if (most) rooms.push({ room: less(decimal(most[0]), reading), margin: decimal(most[1]) });
  if (rooms.some(({ room }) => compare(room, ZERO) < 0)) return { outcome: 'fail' };
  if (rooms.some(({ room, margin }) => compare(room, margin) < 0)) return { outcome: 'watch' };
  return { outcome: 'pass' };
}

/**
 * The last reading of each cylinder that belongs to those of this moment.
 * @param {Limits} all @param {Limit} limit @param {Reading[]} readings @param {number} when
 * @returns {(Reading|undefined)[]}
 */
function cylinders(all, limit, readings, when) {
  const near = readings.filter((one) => one.when <= when && when - one.when < TOGETHER_MS).reverse();
  return Array.from({ length: limit.cylinders ?? 0 }, (_, at) =>
    near.find((one) => {
      const found = limitOf(all, one.what);
      return found?.limit === limit && found.part === at;
    }),
  );
}

/**
 * @param {Limit} limit @param {Record<string, [string, string, string]>} scales @param {(Reading|undefined)[]} read
 * @returns {Verdict}
 */
function spread(limit, scales, read) {
  const missing = read.flatMap((one, at) => (one ? [] : [at + 1]));
  if (missing.length) return { outcome: 'missing', missing };
  const bases = [];
  for (const one of read) {
    const number = typedNumber(one?.number ?? '');
    const scale = scales[one?.unit ?? ''];
    if (!scale) return { outcome: 'unreadable' };
    if (!number) return { outcome: 'later' };
    bases.push(inBase(number, scale));
  }
  bases.sort(compare);
  const [lowest, highest] = [bases[0], bases[bases.length - 1]];
  if (compare(lowest, ZERO) <= 0) return { outcome: 'unreadable' };
  const [from, share] = limit.spread ?? ['highest', '0'];
  const mean = times(bases.reduce(add), { top: 1n, bottom: BigInt(bases.length) });
  const top = from === 'mean' ? mean : highest;
  const allowed = from === 'psi' ? inBase(decimal(share), scales.psi) : times(top, decimal(share));
  const drop = less(top, lowest);
  if (compare(drop, allowed) > 0) return { outcome: 'fail' };
  return { outcome: compare(drop, times(allowed, WATCH_FROM)) > 0 ? 'watch' : 'pass' };
}
