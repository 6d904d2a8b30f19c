// @ts-check
/**
 * The ledger of loose ends: what is loose, drained, parted or propped right now. Pure.
 *
 * The same rule as the server's `trade/ledger.rs`; both run `tests/vectors/ledger.json`. Of each step only the winning
 * tick counts. Those that say `done`, the loose ends made by hand and those closed by hand are gone through in the one
 * total order: a done step first takes away what it closes, then adds what it opens. What is open already keeps its
 * first moment and takes the newer words.
 *
 * @typedef {import('./op.js').Rec} Rec
 * @typedef {import('./fold.js').Item} Item
 *
 * @typedef {{key: string, words: string}} Opens
 * `gone`: the step was taken away; what it left loose still is.
 * `sets` and `clears` are facts, and `needs` guards: see `state.js`.
 * @typedef {{card: string, card_title: string, words: string, opens: Opens[], closes: string[], gone?: boolean,
 *   sets?: string[], clears?: string[], needs?: import('./state.js').Need[]}} StepEffect
 * @typedef {{card: string, card_title: string, step: string, words: string}} Closer
 *
 * What the server put into every page of the car as `data-json="effects"`.
 * `zones`: where the thing is that a loose end is about, by its key. `rules`: weight and headline of what a guard may break.
 * @typedef {{steps: Record<string, StepEffect>, closers?: Record<string, Closer[]>, zones?: Record<string, string>,
 *   rules?: Record<string, ['stop'|'warn'|'note', string]>}} Effects
 *
 * @typedef {object} LooseEnd
 * @property {string} key
 * @property {string} words
 * @property {string} where '' unless made by hand
 * @property {string|null} step the step that left it so; null when made by hand
 * @property {string} card title of that step's card, or ''
 * @property {string} since clock of the operation that first opened it
 * @property {number} when the same in milliseconds
 * @property {Item['mark']} mark of the latest operation that opened it
 * @property {Closer[]} closers the steps which close it
 */
import { inOrder, itemOf } from './fold.js';

/**
 * @param {Iterable<Rec>} records of one car
 * @param {Effects} effects
 * @returns {LooseEnd[]} in the order in which they were first opened
 */
export function ledger(records, effects) {
  /** @type {Map<string, LooseEnd>} */
  const open = new Map();
  for (const item of events(records)) {
    if (item.kind === 'closed') {
      open.delete(item.body.key);
      continue;
    }
    if (item.kind === 'undid') {
      put(open, item, { key: `hand:${item.id}`, words: item.body.what }, effects);
      continue;
    }
    const effect = effects.steps[item.subject];
    for (const key of effect?.closes ?? []) open.delete(key);
    for (const opens of effect?.opens ?? []) put(open, item, opens, effects);
  }
  return [...open.values()];
}

/**
 * @param {Iterable<Rec>} records
 * @returns {Item[]} what the ledger minds, in the total order
 */
export function events(records) {
  const items = inOrder(records)
    .filter((record) => record.state !== 'refused')
    .map(itemOf)
    .filter(({ kind }) => kind === 'tick' || kind === 'undid' || kind === 'closed');
  /** @type {Map<string, Item>} */
  const winning = new Map();
  for (const item of items) if (item.kind === 'tick') winning.set(item.subject, item);
  return items.filter(
    (item) => item.kind !== 'tick' || (winning.get(item.subject) === item && item.body.state === 'done'),
  );
}

/**
 * @param {Map<string, LooseEnd>} open
 * @param {Item} item
 * @param {Opens} opens
 * @param {Effects} effects
 */
function put(open, item, { key, words }, effects) {
  const known = open.get(key);
  const step = item.kind === 'tick' ? item.subject : null;
  open.set(key, {
    key,
    words,
    where: item.kind === 'undid' ? (item.body.where ?? '') : '',
    step,
    card: step ? (effects.steps[step]?.card_title ?? '') : '',
    since: known?.since ?? item.hlc,
    when: known?.when ?? item.when,
    mark: item.mark,
    closers: effects.closers?.[key] ?? [],
  });
}
