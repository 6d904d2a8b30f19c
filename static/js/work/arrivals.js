// @ts-check
/**
 * Where a part is, by what the desk said and by what came and was used since. Pure.
 *
 * The server runs the same rule (`trade/buying/came.rs`); both run `tests/vectors/arrivals.json`. A phone reads quantities as
 * the server and phones write them: a number alone, a number and the unit's own name, or words.
 *
 * @typedef {import('./op.js').Rec} Rec
 *
 * @typedef {object} Part as the server hands it out
 * @property {string} said the stage at the desk
 * @property {string} wanted how many
 * @property {boolean} [words] that cannot be counted
 * @property {number} after the last operation that was known then
 *
 * @typedef {object} Standing
 * @property {string} stage
 * @property {string|null} here what is here, while some is still to come
 * @property {string|null} fitted what is on the car, while some lies on the shelf
 *
 * @typedef {object} Many
 * @property {bigint|null} number in millionths; null for words
 * @property {string} unit empty for pieces; the words where it is no number
 */
import { bodyOf, kindOf, subjectOf } from './op.js';

const MILLION = 1_000_000n;

/**
 * @param {string} text
 * @returns {Many}
 */
export function many(text) {
  const plain = text.trim().replace(/\s+/g, ' ');
  const read = /^(\d{1,9})(?:[.,](\d{1,6}))?(?: ?([^\d\s.,].*))?$/.exec(plain);
  const number = read ? BigInt(read[1]) * MILLION + BigInt((read[2] ?? '').padEnd(6, '0')) : 0n;
  if (!read || number === 0n) return { number: null, unit: plain };
  const unit = read[3] ?? '';
  return { number, unit: unit === '×' || unit === 'x' ? '' : unit };
}

/** As an operation has it: `4`, `0.5 l`. @param {Many} one */
export function written({ number, unit }) {
  if (number === null) return unit;
  const rest = String(number % MILLION)
    .padStart(6, '0')
    .replace(/0+$/, '');
  const figure = `${number / MILLION}${rest && `.${rest}`}`;
  return unit ? `${figure} ${unit}` : figure;
}

/**
 * What is wanted, or what came of it.
 * @param {string} text
 * @param {{words?: boolean}} part
 * @returns {Many}
 */
function manyOf(text, { words }) {
  return words ? { number: null, unit: text.trim().replace(/\s+/g, ' ') } : many(text);
}

/**
 * Whether what is written can stand for something that came: above zero, in the unit of what is wanted.
 * @param {string} text
 * @param {Pick<Part, 'wanted'|'words'>} part
 */
export function counts(text, part) {
  const [one, all] = [manyOf(text, part), manyOf(part.wanted, part)];
  return one.unit === all.unit && (one.number === null) === (all.number === null);
}

/**
 * @param {Part} part
 * @param {Iterable<[number|null|undefined, string, string]>} moves place among the operations (none: waits on this phone), kind, quantity
 * @returns {Standing}
 */
export function standing(part, moves) {
  const { said, after } = part;
  const all = manyOf(part.wanted, part);
  const since = [...moves].filter(
    ([seq, , text]) => (seq ?? Number.POSITIVE_INFINITY) > after && counts(text, part),
  );
  const used = total(part, since, 'part-used');
  const came = greater(total(part, since, 'arrival'), used);
  if (said === 'fitted') return plain(said);
  if (said === 'here') return onTheCar(all, used);
  if (came && isAll(came, all)) return onTheCar(all, used);
  return { ...plain(said), here: came && written(came) };
}

/** @param {string} stage @returns {Standing} */
function plain(stage) {
  return { stage, here: null, fitted: null };
}

/** @param {Many} all @param {Many|null} used @returns {Standing} */
function onTheCar(all, used) {
  if (used && isAll(used, all)) return plain('fitted');
  return { ...plain('here'), fitted: used && written(used) };
}

/** @param {Part} part @param {[number|null|undefined, string, string][]} moves @param {string} kind @returns {Many|null} */
function total(part, moves, kind) {
  const quantities = moves.filter((move) => move[1] === kind).map((move) => manyOf(move[2], part));
  if (quantities.length === 0) return null;
  const numbers = quantities.map(({ number }) => number);
  const sum = numbers.reduce((so, one) => (so === null || one === null ? null : so + one));
  return { number: sum, unit: quantities[0].unit };
}

/** @param {Many|null} one @param {Many|null} other */
function greater(one, other) {
  if (!one || !other) return one ?? other;
  return (one.number ?? 0n) >= (other.number ?? 0n) ? one : other;
}

/** @param {Many} one @param {Many} all */
function isAll(one, all) {
  return one.number === null || all.number === null ? one.unit === all.unit : one.number >= all.number;
}

/** What is still to come; all of it where nothing can be taken away. @param {Part} part @param {string|null} here */
export function rest(part, here) {
  const [all, some] = [manyOf(part.wanted, part), here === null ? null : manyOf(here, part)];
  if (all.number === null || !some?.number || some.number >= all.number) return written(all);
  return written({ ...all, number: all.number - some.number });
}

/**
 * What came and was used of each part, by the records of a car.
 * @param {Iterable<Rec>} records
 * @param {Map<string, number>} seqs places of operations that the page knows
 * @returns {Map<string, [number|null, string, string][]>}
 */
export function movesByPart(records, seqs) {
  /** @type {Map<string, [number|null, string, string][]>} */
  const found = new Map();
  for (const { op, state, seq } of records) {
    const kind = kindOf(op);
    if (state === 'refused' || (kind !== 'arrival' && kind !== 'part-used')) continue;
    const part = subjectOf(op);
    const moves = found.get(part) ?? [];
    moves.push([seq ?? seqs.get(op.id) ?? null, kind, bodyOf(op).quantity]);
    found.set(part, moves);
  }
  return found;
}

/**
 * The rows that a typed or scanned line means: a number of theirs, whatever its blanks, strokes and case; else all words in what they
 * are called.
 * @template {{find: string, numbers: string[]}} R
 * @param {R[]} rows
 * @param {string} line
 * @returns {R[]}
 */
export function found(rows, line) {
  const number = bare(line);
  if (!number) return rows;
  const exact = rows.filter((row) => row.numbers.some((one) => one !== '' && bare(one) === number));
  if (exact.length) return exact;
  const words = line.toLowerCase().split(/\s+/).filter(Boolean);
  return rows.filter((row) => words.every((word) => row.find.toLowerCase().includes(word)));
}

/** Letters and figures alone. @param {string} text */
function bare(text) {
  return text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');
}
