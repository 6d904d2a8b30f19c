// @ts-check
/**
 * The road check: which items are asked, and which are due. Pure. The same rule as the server's `trade/road.rs`; both run
 * `tests/vectors/road.json`.
 *
 * A step whose winning tick says done asks for its items. An item is due until an answer that it holds comes after the
 * latest tick that asks for it, in the total order; a later answer takes the place of an earlier one.
 *
 * @typedef {import('./op.js').Rec} Rec
 * @typedef {import('./fold.js').Item} Item
 *
 * What the server put into the page as `data-json="road"`: `steps` gives places in `items`.
 * @typedef {{phases: [string, string][], items: {phase: string, key: string, say: string}[], steps: Record<string, number[]>}} Road
 *
 * @typedef {object} RoadItem
 * @property {string} key
 * @property {string} phase
 * @property {string} say
 * @property {boolean} due
 * @property {Item|null} answer since it was last asked
 */
import { fold } from './fold.js';
import { events } from './ledger.js';

/**
 * @param {Iterable<Rec>} records of one car
 * @param {Road} road
 * @returns {RoadItem[]} those that are asked, in the order of the phases
 */
export function roadCheck(records, road) {
  const known = [...records];
  /** @type {Map<number, string>} */
  const asked = new Map();
  for (const item of events(known)) {
    if (item.kind !== 'tick') continue;
    for (const at of road.steps[item.subject] ?? []) asked.set(at, place(item));
  }
  const answers = fold(known).road;
  return [...asked]
    .map(([at, last]) => {
      const said = answers.get(road.items[at].key)?.last ?? null;
      const answer = said && place(said) > last ? said : null;
      return { ...road.items[at], due: answer?.body.seen !== 'holds', answer };
    })
    .sort((a, b) => rank(road, a.phase) - rank(road, b.phase) || (a.key < b.key ? -1 : 1));
}

/** @param {Road} road @param {string} phase */
function rank({ phases }, phase) {
  return phases.findIndex(([code]) => code === phase);
}

/** Its place in the total order: the parts are of one length each. @param {Item} item */
function place({ hlc, device, id }) {
  return `${hlc} ${device} ${id}`;
}
