// @ts-check
/**
 * What all operations on a car come to. Pure: the same operations give the same answer in any order, any number of times.
 *
 * The server runs the same fold; both run `tests/vectors/fold.json`, which fixes `winners` (the latest of everything
 * that can be said twice, by subject and field) and `added` (everything else, by kind, in the one total order).
 * Fields: `tick`, `odometer`, `recheck`, `reading:<what>`, `road:<item>`, `settled`, `bolt:<stage>:<bolt>`,
 * `survey:<question>`, `dealt:<about>`,
 * `serviced:<item>:<day>`.
 *
 * A refused operation never became part of the car's state, so it wins nothing and is counted nowhere; it is still in
 * its list with the mark `refused`, for the person to see.
 *
 * @typedef {import('./op.js').Op} Op
 * @typedef {import('./op.js').Rec} Rec
 *
 * One operation, as a page shows it.
 * @typedef {object} Item
 * @property {string} id
 * @property {import('./op.js').Kind} kind
 * @property {any} body the member of `do`
 * @property {string} subject
 * @property {string|null} card
 * @property {string} device
 * @property {string} hlc
 * @property {number} when milliseconds
 * @property {'saving'|'failed'|'waiting'|'sent'|'refused'} mark `waiting`: safe on this phone, not on the server yet
 * @property {string} say the server's words, when it had something to say
 *
 * @typedef {object} Said something that can be said again
 * @property {Item|null} last the one that holds; null when all were refused
 * @property {Item[]} history all of them, oldest first
 *
 * @typedef {object} CarState
 * @property {Map<string, Said>} ticks by step
 * @property {Map<string, Map<string, Said>>} readings by subject, then by `what`
 * @property {Map<string, Item[]>} notes by subject
 * @property {Map<string, Item[]>} photos by subject
 * @property {Map<string, Item[]>} findings by subject
 * @property {Map<string, Item[]>} partsUsed by part
 * @property {Map<string, Item[]>} arrivals by part
 * @property {Map<string, number>} minutes by card
 * @property {Map<string, Said>} rechecks by card
 * @property {Map<string, Said>} road answers of the road check, by item
 * @property {Map<string, Said>} survey answers of the survey, by question
 * @property {Map<string, Map<string, Said>>} bolts presses of a bolt, by step, then by stage and bolt
 * @property {Map<string, Item[]>} wentOn guards passed over, by step
 * @property {Item[]} nights oldest first
 * @property {Map<string, Item[]>} looks at fluids, by subject
 * @property {Map<string, Item[]>} corrections of earlier entries of the logbook, by subject
 * @property {Said|null} odometer
 * @property {Item[]} refused
 */
import { wall } from '../lib/hlc.js';
import { bodyOf, kindOf, order, subjectOf } from './op.js';

/** Kinds of which only the latest counts. */
const SAID = new Set([
  'tick',
  'reading',
  'odometer',
  'recheck',
  'road',
  'settled',
  'bolt',
  'survey',
  'dealt',
  'serviced',
]);

/**
 * @param {Op} op
 * @returns {string|null} the field it sets; null when it only adds
 */
export function fieldOf(op) {
  const kind = kindOf(op);
  if (!SAID.has(kind)) return null;
  if (kind === 'reading') return `reading:${bodyOf(op).what}`;
  if (kind === 'bolt') return `bolt:${bodyOf(op).stage}:${bodyOf(op).bolt}`;
  if (kind === 'survey') return `survey:${bodyOf(op).question}`;
  if (kind === 'dealt') return `dealt:${bodyOf(op).about}`;
  if (kind === 'serviced') return `serviced:${bodyOf(op).item}:${bodyOf(op).day}`;
  return kind === 'road' ? `road:${bodyOf(op).item}` : kind;
}

/**
 * Each operation once, in the total order.
 * @param {Iterable<Rec>} records
 */
export function inOrder(records) {
  const once = new Map();
  for (const record of records) once.set(record.id, record);
  return /** @type {Rec[]} */ ([...once.values()]).sort((a, b) => order(a.op, b.op));
}

/**
 * The part of the fold that the server shares.
 * @param {Iterable<Rec>} records
 * @returns {{winners: Record<string, Record<string, string>>, added: Record<string, string[]>}} ids of operations
 */
export function standing(records) {
  /** @type {Map<string, Map<string, string>>} */
  const winners = new Map();
  /** @type {Map<string, string[]>} */
  const added = new Map();
  for (const { op, state } of inOrder(records)) {
    if (state === 'refused') continue;
    const field = fieldOf(op);
    if (field === null) within(added, kindOf(op), () => []).push(op.id);
    else within(winners, subjectOf(op), () => new Map()).set(field, op.id);
  }
  const plain = [...winners].map(([subject, fields]) => [subject, Object.fromEntries(fields)]);
  return { winners: Object.fromEntries(plain), added: Object.fromEntries(added) };
}

/** @param {Rec} record @returns {Item} */
export function itemOf({ op, state, verdict }) {
  return {
    id: op.id,
    kind: kindOf(op),
    body: bodyOf(op),
    subject: subjectOf(op),
    card: op.card,
    device: op.device,
    hlc: op.hlc,
    when: wall(op.hlc),
    mark: state === 'known' ? 'sent' : state,
    say: verdict?.say ?? '',
  };
}

/**
 * @param {Iterable<Rec>} records of one car
 * @returns {CarState}
 */
export function fold(records) {
  const car = emptyState();
  for (const record of inOrder(records)) {
    const item = itemOf(record);
    if (item.mark === 'refused') car.refused.push(item);
    put(car, item);
  }
  return car;
}

/** @returns {CarState} */
function emptyState() {
  return {
    ticks: new Map(),
    readings: new Map(),
    notes: new Map(),
    photos: new Map(),
    findings: new Map(),
    partsUsed: new Map(),
    arrivals: new Map(),
    minutes: new Map(),
    rechecks: new Map(),
    road: new Map(),
    survey: new Map(),
    bolts: new Map(),
    wentOn: new Map(),
    nights: [],
    looks: new Map(),
    corrections: new Map(),
    odometer: null,
    refused: [],
  };
}

/** @param {CarState} car @param {Item} item */
function put(car, item) {
  switch (item.kind) {
    case 'tick':
      return say(car.ticks, item.subject, item);
    case 'reading':
      return say(
        within(car.readings, item.subject, () => new Map()),
        item.body.what,
        item,
      );
    case 'recheck':
      return say(car.rechecks, item.subject, item);
    case 'odometer': {
      const said = new Map([['', car.odometer ?? { last: null, history: [] }]]);
      say(said, '', item);
      car.odometer = said.get('') ?? null;
      return;
    }
    case 'road':
      return say(car.road, item.body.item, item);
    case 'survey':
      return say(car.survey, item.body.question, item);
    case 'bolt':
      return say(
        within(car.bolts, item.subject, () => new Map()),
        `${item.body.stage}:${item.body.bolt}`,
        item,
      );
    case 'went-on':
      return add(car.wentOn, item);
    case 'night':
      car.nights.push(item);
      return;
    case 'fluid-look':
      return add(car.looks, item);
    case 'note':
    case 'symptom':
      return add(car.notes, item);
    case 'photo':
      return add(car.photos, item);
    case 'finding':
      return add(car.findings, item);
    case 'part-used':
      return add(car.partsUsed, item);
    case 'arrival':
      return add(car.arrivals, item);
    case 'time':
      if (item.mark !== 'refused') {
        car.minutes.set(item.subject, (car.minutes.get(item.subject) ?? 0) + item.body.minutes);
      }
      return;
    case 'correction':
      return add(car.corrections, item);
    case 'settled':
    case 'dealt':
    case 'serviced':
      // The spec book and the upkeep are drawn by the server, with what was settled and done.
      return;
    case 'clip':
      // Clips are heard at the desk.
      return;
    case 'undid':
    case 'closed':
      // Only the ledger minds: work/ledger.js.
      return;
  }
}

/** @param {Map<string, Said>} map @param {string} key @param {Item} item */
function say(map, key, item) {
  const said = within(map, key, () => ({ last: null, history: [] }));
  said.history.push(item);
  if (item.mark !== 'refused') said.last = item;
}

/** @param {Map<string, Item[]>} map @param {Item} item */
function add(map, item) {
  within(map, item.subject, () => []).push(item);
}

/**
 * @template V
 * @param {Map<string, V>} map
 * @param {string} key
 * @param {() => NoInfer<V>} make
 * @returns {V}
 */
function within(map, key, make) {
  const found = map.get(key);
  if (found !== undefined) return found;
  const made = make();
  map.set(key, made);
  return made;
}
