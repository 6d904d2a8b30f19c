// @ts-check
/**
 * What an operation is: the vocabulary of the phone. Pure.
 *
 * @typedef {{car: string}|{card: string}|{step: string}|{spec: string}|{part: string}} Subject
 *
 * Exactly one member. Numbers are decimal text as typed; text is at most {@link MAX_TEXT} characters, and {@link MAX_SHORT} where it is
 * no sentence: `what`, `where`, `quantity`, `key`, `type`.
 * @typedef {{tick: {state: 'done'|'skipped'|'open'}}
 *   | {reading: {what: string, number: string, unit: string, note?: string}}
 *   | {note: {text: string}}
 *   | {photo: {sha256: string, bytes: number, type: string, caption: string, question?: string}}
 *   | {finding: {text: string, where: string, weight: 'fine'|'watch'|'act'|'unknown'}}
 *   | {'part-used': {quantity: string}}
 *   | {arrival: {quantity: string}}
 *   | {odometer: {number: string, unit: 'km'|'mi'}}
 *   | {time: {minutes: number}}
 *   | {undid: {what: string, where: string}}
 *   | {closed: {key: string}}
 *   | {recheck: {text: string}}
 *   | {'went-on': {rule: string, say: string, why: string}}
 *   | {road: {item: string, say: string, seen: 'holds'|'fails'|'not-looked', note: string}}
 *   | {night: {text: string}}
 *   | {bolt: {stage: number, bolt: number, state: 'done'|'open', of: number, say: string}}
 *   | {'fluid-look': {fluid: string, colour: string, smell: string, particles: string, note: string}}
 *   | {settled: {on: string, say: string, why: string}}
 *   | {survey: {question: string, say: string, answer: 'fine'|'watch'|'act'|'unknown', note: string}}
 *   | {dealt: {about: string, say: string, how: 'card'|'part'|'watch'|'nothing'|'open', became: string, until: string, why: string}}
 *   | {serviced: {item: string, say: string, day: string, number: string, unit: 'km'|'mi', by: string, note: string, state: 'done'|'not'}}
 *   | {correction: {of: string, text: string}}
 *   | {clip: {sha256: string, bytes: number, caption: string}}
 *   | {symptom: {kind: string, text: string, when: string, heat: string, speed: string, load: string}}} Do
 * @typedef {'tick'|'reading'|'note'|'photo'|'finding'|'part-used'|'arrival'|'odometer'|'time'|'undid'|'closed'|'recheck'|'went-on'|'road'|'night'|'bolt'|'fluid-look'|'settled'|'survey'|'dealt'|'serviced'|'correction'|'clip'|'symptom'} Kind
 *
 * @typedef {object} Op
 * @property {string} id UUIDv7
 * @property {string} device
 * @property {string} hlc
 * @property {string} car
 * @property {string|null} card
 * @property {Subject} on
 * @property {Do} do
 *
 * How far an operation has come. Only in memory: `saving` (not stored yet), `failed` (could not be stored).
 * Stored: `waiting` (to be sent), `sent` (the server has it), `known` (pulled from the server), `refused` (needs a look).
 * @typedef {'saving'|'failed'|'waiting'|'sent'|'known'|'refused'} State
 *
 * What the phone keeps of one operation. `verdict.code` is a refusal code, or `kept`.
 * @typedef {object} Rec
 * @property {string} id
 * @property {string} car
 * @property {string|null} card
 * @property {string} hlc
 * @property {string} device
 * @property {Op} op
 * @property {State} state
 * @property {number} saved_at milliseconds, by this phone's own clock
 * @property {number} [seq]
 * @property {{code: string, say: string}} [verdict]
 * @property {boolean} [seen] the person has put the verdict aside
 */

export const MAX_TEXT = 4000;
export const MAX_SHORT = 200;

/**
 * The one total order: clock, device, id, each as text.
 * @param {Op} a
 * @param {Op} b
 */
export function order(a, b) {
  return text(a.hlc, b.hlc) || text(a.device, b.device) || text(a.id, b.id);
}

/** @param {string} a @param {string} b */
function text(a, b) {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** @param {Op} op @returns {Kind} */
export function kindOf(op) {
  return /** @type {Kind} */ (Object.keys(op.do)[0]);
}

/** @param {Op} op @returns {any} */
export function bodyOf(op) {
  return Object.values(op.do)[0];
}

/** @param {Op} op @returns {string} */
export function subjectOf(op) {
  return Object.values(op.on)[0];
}

/**
 * @param {Op} op
 * @param {State} state
 * @param {number} savedAt
 * @returns {Rec}
 */
export function recordOf(op, state, savedAt) {
  return {
    id: op.id,
    car: op.car,
    card: op.card,
    hlc: op.hlc,
    device: op.device,
    op,
    state,
    saved_at: savedAt,
  };
}
