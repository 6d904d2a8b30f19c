/** The pure parts, against the vectors that the server runs too, and against published examples. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import './phone.js';
import { wait } from '../../static/js/lib/backoff.js';
import { compare, receive, tick } from '../../static/js/lib/hlc.js';
import { uuid7 } from '../../static/js/lib/ids.js';
import { sha256 } from '../../static/js/lib/sha256.js';
import { age, count, moment, size } from '../../static/js/lib/when.js';
import { fate, react } from '../../static/js/outbox/verdict.js';
import { contactItem, copyItem, outboxItem, stateWord } from '../../static/js/ui/status.js';
import {
  standing as arrived,
  found,
  many,
  rest,
  written as writtenMany,
} from '../../static/js/work/arrivals.js';
import { condition, doneOn } from '../../static/js/work/condition.js';
import { fold, standing } from '../../static/js/work/fold.js';
import { ledger } from '../../static/js/work/ledger.js';
import { limitOf, typedNumber, verdict } from '../../static/js/work/limit.js';
import { lookOf, lookWords, ofFluid } from '../../static/js/work/look.js';
import { inWords, worked } from '../../static/js/work/minutes.js';
import { recordOf } from '../../static/js/work/op.js';
import { roadCheck } from '../../static/js/work/road.js';
import { broken, trueNow } from '../../static/js/work/state.js';
import { nextOpen, tally, tallyWords } from '../../static/js/work/survey.js';

/** @param {string} name @param {(given: any, file: any) => unknown} run */
function vectors(name, run) {
  const file = JSON.parse(readFileSync(new URL(`../vectors/${name}.json`, import.meta.url), 'utf8'));
  for (const { name: sentence, given, expect } of file.cases) {
    test(`${name}: ${sentence}`, () => assert.deepEqual(run(given, file), expect));
  }
}

/** @param {any[]} ops @param {any} [state] */
const records = (ops, state = 'known') => ops.map((op) => recordOf(op, state, 0));

vectors('hlc', (given) => {
  if (given.do === 'tick') return tick(given.last, given.now);
  if (given.do === 'receive') return receive(given.last, given.seen);
  return [...given.clocks].sort(compare);
});
vectors('backoff', ({ failures, random }) => wait(failures, random));
vectors('verdict', (given) => (given.do === 'react' ? react(given) : fate(given.verdict)));
vectors('condition', condition);
vectors('minutes', worked);
test('time worked is said as the desk says it', () => {
  assert.deepEqual([45, 60, 65, 1440].map(inWords), ['45 min', '1 h', '1 h 05 min', '24 h']);
});
vectors('looks', (given, { looks }) => lookWords(given, looks));
vectors('fold', ({ ops }) => standing(records(ops)));
vectors('guards', ({ ops, step }, { effects }) => {
  const state = trueNow(records(ops), effects);
  return { facts: [...state.keys()].sort(), broken: broken(state, effects.steps[step].needs ?? []) };
});
vectors('road', ({ ops }, { road }) =>
  Object.fromEntries(roadCheck(records(ops), road).map(({ key, due }) => [key, due])),
);
vectors('survey', ({ questions, ops }) =>
  tally(
    questions.map((/** @type {string} */ key) => ({ key })),
    fold(records(ops)).survey,
  ),
);
vectors('arrivals', (given) => arrived(given, given.moves));
vectors('limits', ({ readings }, { limits }) => verdict(limits, readings));
vectors('ledger', ({ ops }, { effects }) =>
  ledger(records(ops), effects).map(({ key, words, step, since }) => ({ key, words, step, since })),
);

test('a typed or scanned line finds the thing whose number it is', () => {
  const rows = [
    { find: 'oil filter tw-40117 tarnwick', numbers: ['TW-40117', ''] },
    { find: 'rear brake shoes tw-51230 4099100512308 tarnwick', numbers: ['TW-51230', '4099100512308'] },
    { find: 'front brake hoses fm-3310 ferrystone', numbers: ['FM-3310', ''] },
  ];
  const names = (/** @type {string} */ line) => found(rows, line).map((row) => rows.indexOf(row));
  assert.deepEqual(names(''), [0, 1, 2]);
  assert.deepEqual(names(' - '), [0, 1, 2]);
  assert.deepEqual(names('4099100512308'), [1]);
  assert.deepEqual(names('tw 40117\n'), [0]);
  assert.deepEqual(names('TW40117'), [0]);
  assert.deepEqual(names('brake'), [1, 2]);
  assert.deepEqual(names('hoses brake'), [2]);
  assert.deepEqual(names('4099100512309'), []);
});

test('what is left to come is what is wanted without what came', () => {
  const part = { said: 'ordered', wanted: '4', after: 0 };
  assert.equal(rest(part, null), '4');
  assert.equal(rest(part, '1'), '3');
  assert.equal(rest(part, '4'), '4');
  assert.equal(rest({ ...part, wanted: '0.5 l' }, '0.1 l'), '0.4 l');
  assert.equal(rest({ ...part, wanted: '1 pair', words: true }, null), '1 pair');
  assert.deepEqual(
    ['2,50 l', '4 ×', '7x', ' 03 '].map((text) => writtenMany(many(text))),
    ['2.5 l', '4', '7', '3'],
  );
});

test('the example of RFC 9562 appendix A.6 comes out as printed there', () => {
  // The value is from memory.
  const random = Uint8Array.from([0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
  assert.equal(uuid7(0x017f22e279b0, random), '017f22e2-79b0-7cc3-98c4-dc0c0c07398f');
});

test('ids made later sort later, and no two are the same', () => {
  assert.ok(uuid7(1_750_000_000_000) < uuid7(1_750_000_000_001));
  assert.notEqual(uuid7(5), uuid7(5));
  assert.match(uuid7(Date.now()), /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
});

test('the walk goes on at the next question without an answer, and from its beginning after the last', () => {
  const walk = ['a', 'b', 'c'].map(
    (key) => /** @type {import('../../static/js/work/survey.js').Question} */ ({ key }),
  );
  /** @param {string[]} keys */
  const answered = (...keys) =>
    new Map(
      keys.map((key) => [key, { last: /** @type {any} */ ({ body: { answer: 'fine' } }), history: [] }]),
    );
  assert.equal(nextOpen(walk, answered(), 0)?.key, 'a');
  assert.equal(nextOpen(walk, answered('a', 'b'), 1)?.key, 'c');
  assert.equal(nextOpen(walk, answered('b', 'c'), 1)?.key, 'a');
  assert.equal(nextOpen(walk, answered('a', 'b', 'c'), 0), null);
  const refused = new Map([['a', { last: null, history: [] }]]);
  assert.equal(nextOpen(walk, refused, 0)?.key, 'a', 'an answer that was refused is none');
});

test('how far the survey is, is said gravest first and not at all where all is fine', () => {
  assert.equal(
    tallyWords({ asked: 9, answered: 9, act: 2, watch: 1, unknown: 3 }),
    '2 to be done, 3 not known, 1 to watch',
  );
  assert.equal(tallyWords({ asked: 9, answered: 9, act: 0, watch: 0, unknown: 0 }), '');
});

test('the hash of "abc" is that of FIPS 180-4', async () => {
  const bytes = new TextEncoder().encode('abc').buffer;
  assert.equal(
    await sha256(/** @type {ArrayBuffer} */ (bytes)),
    'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
  );
});

const CAR = 'car';
/** @param {string} id @param {any} on @param {any} what */
const op = (id, on, what) => ({
  id,
  device: 'd',
  hlc: `000000000000000${id}-00000`,
  car: CAR,
  card: null,
  on,
  do: what,
});

test('a refused tick wins nothing, but stays in the history with its mark', () => {
  const good = records([op('1', { step: 's' }, { tick: { state: 'done' } })]);
  const bad = records([op('2', { step: 's' }, { tick: { state: 'open' } })], 'refused');
  assert.deepEqual(standing([...bad, ...good]).winners, { s: { tick: '1' } });
  const said = fold([...bad, ...good]).ticks.get('s');
  assert.equal(said?.last?.id, '1');
  assert.deepEqual(
    said?.history.map(({ mark }) => mark),
    ['sent', 'refused'],
  );
});

test('minutes add up by card, without refused ones', () => {
  const time = (/** @type {string} */ id, /** @type {number} */ minutes) =>
    op(id, { card: 'c' }, { time: { minutes } });
  const state = fold([...records([time('1', 20), time('2', 5)]), ...records([time('3', 100)], 'refused')]);
  assert.equal(state.minutes.get('c'), 25);
});

test('a refused step leaves nothing loose', () => {
  const effects = {
    steps: { s: { card: 'c', card_title: '', words: '', opens: [{ key: 'k', words: 'w' }], closes: [] } },
  };
  assert.equal(
    ledger(records([op('1', { step: 's' }, { tick: { state: 'done' } })], 'refused'), effects).length,
    0,
  );
});

test('a recheck counts until the card is ticked again, whichever way', () => {
  const effect = { card: 'c', card_title: '', words: '', opens: [], closes: [] };
  const effects = { steps: { s: effect, other: { ...effect, card: 'd' }, away: { ...effect, gone: true } } };
  const done = (/** @type {any[]} */ ...ops) => doneOn('c', fold(records(ops)), [], effects);
  const tick = (/** @type {string} */ id, state = 'done', step = 's') =>
    op(id, { step }, { tick: { state } });
  const recheck = op('5', { card: 'c' }, { recheck: { text: 'dry' } });
  assert.deepEqual(done(tick('1'), recheck), { settled_steps: 1, loose_ends: 0, rechecked: true });
  assert.equal(done(recheck).rechecked, true);
  assert.equal(done(tick('6'), recheck).rechecked, false);
  assert.deepEqual(done(tick('6', 'open'), recheck), { settled_steps: 0, loose_ends: 0, rechecked: false });
  assert.equal(
    done(tick('6'), recheck, op('7', { card: 'c' }, { recheck: { text: 'dry' } })).rechecked,
    true,
  );
  // Steps of another card, or taken away, are none of its ticks.
  assert.equal(
    done(tick('1'), tick('8', 'done', 'other'), tick('9', 'done', 'away'), recheck).rechecked,
    true,
  );
  const refused = records([op('7', { card: 'c' }, { recheck: { text: 'dry' } })], 'refused');
  assert.equal(doneOn('c', fold([...records([tick('1')]), ...refused]), [], effects).rechecked, false);
});

test('a card is apart by its own steps only, and not by those taken away', () => {
  const opens = [{ key: 'k', words: 'w' }];
  const effect = { card: 'c', card_title: '', words: '', opens, closes: [] };
  const closer = { card: 'd', card_title: '', words: '', opens: [], closes: ['k'] };
  const ticks = records([op('1', { step: 's' }, { tick: { state: 'done' } })]);
  const loose = (/** @type {any} */ steps, more = /** @type {any[]} */ ([])) => {
    const all = [...ticks, ...records(more)];
    return doneOn('c', fold(all), ledger(all, { steps }), { steps }).loose_ends;
  };
  assert.equal(loose({ s: effect }), 1);
  assert.equal(loose({ s: { ...effect, gone: true } }), 0);
  assert.equal(loose({ s: { ...effect, card: 'd' } }), 0);
  const elsewhere = op('2', { step: 't' }, { tick: { state: 'done' } });
  assert.equal(loose({ s: effect, t: closer }, [elsewhere]), 0, 'closed by a step of another card');
});

test('moments, counts and sizes read as a person says them', () => {
  const now = new Date(2026, 10, 3, 15, 0).getTime();
  assert.equal(moment(new Date(2026, 10, 3, 14, 2).getTime(), now), '14:02');
  assert.equal(moment(new Date(2026, 10, 2, 14, 2).getTime(), now), 'yesterday 14:02');
  assert.equal(moment(new Date(2026, 9, 30, 14, 2).getTime(), now), '30 Oct 14:02');
  assert.equal(moment(new Date(2024, 9, 30, 14, 2).getTime(), now), '30 Oct 2024');
  assert.deepEqual(
    [30, 240, 7_200, 200_000].map((seconds) => age(now - seconds * 1000, now)),
    ['now', '4 min', '2 h', '2 days'],
  );
  assert.equal(count(1, 'photo'), '1 photo');
  assert.equal(count(0, 'photo'), '0 photos');
  assert.equal(size(3_400_000), '3.4 MB');
});

const STATUS = {
  waiting: 0,
  sending: 0,
  refused: 0,
  photosWaiting: 0,
  photo: null,
  lastContact: null,
  lastError: '',
  reachable: true,
  paired: true,
  busy: false,
  nextTry: null,
};

for (const [change, mark, words, state] of /** @type {[any, string, string, string][]} */ ([
  [{}, 'sent', 'All sent', 'good'],
  [{ waiting: 3 }, 'waiting', '3 to send', 'waiting'],
  [{ waiting: 3, photosWaiting: 1 }, 'waiting', '3 to send, 1 photo', 'waiting'],
  [{ photosWaiting: 2 }, 'waiting', '2 photos to send', 'waiting'],
  [{ photosWaiting: 2, photo: { offset: 1, bytes: 3 } }, 'waiting', 'photo 33 %', 'waiting'],
  [{ waiting: 3, reachable: false }, 'waiting', '3 to send', 'away'],
  [{ refused: 1 }, 'refused', '1 to look at', 'look'],
  [{ waiting: 1, paired: false }, 'refused', '1 to send, pair again', 'pair'],
])) {
  test(`the outbox says "${words}" when ${JSON.stringify(change)}`, () => {
    assert.deepEqual(outboxItem({ ...STATUS, ...change }), { mark, words });
    assert.equal(stateWord({ ...STATUS, ...change }), state);
  });
}

test('contact and copy are said in a few words', () => {
  const lastContact = Date.now();
  assert.equal(contactItem({ ...STATUS, lastContact }).words, `Heard ${moment(lastContact)}`);
  assert.equal(
    contactItem({ ...STATUS, lastContact, reachable: false }).words,
    `Lost, heard ${moment(lastContact)}`,
  );
  assert.equal(contactItem({ ...STATUS, reachable: null }).words, 'Not heard yet');
  assert.equal(copyItem(null).words, 'No copy');
  assert.equal(copyItem(null, { done: 38, total: 41, bytes: 0, bytesTotal: 0 }).words, 'Copy 38 of 41');
});

test('a look is of the spec that its fluid has, else of the car', () => {
  const chosen = { fluid: 'gear-oil s1', colour: 'black', smell: 'plain', particles: 'none', note: 'x' };
  assert.deepEqual(lookOf(chosen), {
    'fluid-look': { fluid: 'gear-oil', colour: 'black', smell: 'plain', particles: 'none', note: 'x' },
  });
  assert.deepEqual(ofFluid('gear-oil s1', 'c'), { card: null, on: { spec: 's1' } });
  assert.deepEqual(ofFluid('gear-oil', 'c'), { card: null, on: { car: 'c' } });
});

test('a look that lacks a sense is not kept', () => {
  const whole = { fluid: 'gear-oil', colour: 'black', smell: 'plain', particles: 'none', note: '' };
  for (const missing of ['fluid', 'colour', 'smell', 'particles']) {
    assert.equal(lookOf({ ...whole, [missing]: '' }), null, missing);
  }
});

test('numbers are read as they are typed under a car, and what is not clear is left to the garage', () => {
  assert.deepEqual(typedNumber(' 12,5 '), { top: 125n, bottom: 10n });
  assert.deepEqual(typedNumber('−3'), { top: -3n, bottom: 1n });
  assert.deepEqual(typedNumber('5/32'), { top: 5n, bottom: 32n });
  for (const text of ['', 'deep', '1,234', '1.2.3', '1/0', '2 1/2', '1e3', 'NaN', '3 mm'])
    assert.equal(typedNumber(text), null, text);
});

test('a cylinder that the engine does not have belongs to no limit', () => {
  const limits = /** @type {any} */ ({
    limits: [{ what: 'Compression', cylinders: 4 }],
    scales: {},
    words: {},
  });
  assert.equal(limitOf(limits, 'compression, cylinder 4')?.part, 3);
  assert.equal(limitOf(limits, 'compression, cylinder 2, with oil')?.part, -1);
  for (const what of ['compression', 'compression, cylinder 5', 'compression, cylinder 0'])
    assert.equal(limitOf(limits, what), null, what);
});
