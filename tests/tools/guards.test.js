/** Guards, places and wheels, as pages use them: with two phones, and with steps opened again. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { fold } from '../../static/js/work/fold.js';
import { guards, stopping, wentOn } from '../../static/js/work/guard.js';
import { recordOf } from '../../static/js/work/op.js';
import { wheels, zoneOfEnd, zoneOfHand } from '../../static/js/work/place.js';
import { trueNow } from '../../static/js/work/state.js';
import { CAR, CARD, DEVICE, STEP } from './phone.js';

const OTHER = '0b2f0a10-0000-4000-8000-00000000000b';
const OPENER = '0190a1b2-0000-7000-8000-000000000502';

/** @type {any} */
const EFFECTS = {
  steps: {
    [STEP]: {
      card: CARD,
      card_title: 'Axle oil',
      words: 'Drain the axle oil',
      opens: [{ key: 'fluid:axle oil', words: 'axle oil is drained' }],
      closes: [],
      needs: [
        { rule: 'nothing-to-catch', say: 'Nothing is below it.', mend: 'Put a pan there.' },
        {
          rule: 'filler-unproven',
          say: 'The filler has not been opened.',
          mend: 'Open it first.',
          unless: ['proven:*'],
        },
      ],
    },
    [OPENER]: {
      card: CARD,
      card_title: 'Axle oil',
      words: 'Open the filler',
      opens: [],
      closes: [],
      sets: ['proven:filler plug'],
    },
  },
  rules: {
    'filler-unproven': ['stop', 'Drained before the filler is known to open'],
    'nothing-to-catch': ['warn', 'Nothing to catch it in'],
  },
};

let made = 0;
/** @param {number} second @param {any} what @param {string} [step] @param {string} [device] @param {any} [state] */
function op(second, what, step = STEP, device = DEVICE, state = 'known') {
  made += 1;
  const id = `0190a1b2-0000-7000-8000-${String(made).padStart(12, '0')}`;
  const hlc = `${String(1_760_000_000_000 + second * 1000).padStart(16, '0')}-00000`;
  return recordOf({ id, device, hlc, car: CAR, card: CARD, on: { step }, do: what }, state, 0);
}

const tick = (/** @type {any} */ state) => ({ tick: { state } });
const past = (/** @type {string} */ rule, why = 'it is so') => ({ 'went-on': { rule, say: 'said', why } });

/** @param {any[]} records */
function at(records) {
  const state = fold(records);
  return guards(STEP, state, trueNow(records, EFFECTS), EFFECTS);
}

test('every broken guard is told, the weightiest first, with its headline and how to mend it', () => {
  assert.deepEqual(at([]), [
    {
      rule: 'filler-unproven',
      say: 'The filler has not been opened.',
      mend: 'Open it first.',
      weight: 'stop',
      headline: 'Drained before the filler is known to open',
      passed: false,
    },
    {
      rule: 'nothing-to-catch',
      say: 'Nothing is below it.',
      mend: 'Put a pan there.',
      weight: 'warn',
      headline: 'Nothing to catch it in',
      passed: false,
    },
  ]);
});

test('the other phone’s tick mends a guard, and its unticking breaks it again', () => {
  const rules = (/** @type {any[]} */ records) => at(records).map(({ rule }) => rule);
  const opened = op(1, tick('done'), OPENER, OTHER);
  assert.deepEqual(rules([opened]), ['nothing-to-catch']);
  assert.deepEqual(rules([opened, op(2, tick('open'), OPENER, OTHER)]), [
    'filler-unproven',
    'nothing-to-catch',
  ]);
});

test('a guard that was gone past on either phone is not asked again, and no other is gone past by it', () => {
  const left = stopping(at([op(1, past('filler-unproven'), STEP, OTHER)]));
  assert.deepEqual(
    left.map(({ rule }) => rule),
    ['nothing-to-catch'],
  );
});

test('opening the step again asks anew; what was gone past after that counts', () => {
  const first = [op(1, past('filler-unproven', 'first')), op(2, tick('done')), op(3, tick('open'))];
  assert.equal(stopping(at(first)).length, 2);
  const again = [...first, op(4, past('filler-unproven', 'second'), STEP, OTHER)];
  assert.deepEqual(
    wentOn(STEP, fold(again)).map(({ body }) => body.why),
    ['second'],
  );
  assert.equal(stopping(at(again)).length, 1);
});

test('the latest reason of a rule stands, and a refused one does not count', () => {
  const twice = [
    op(1, past('filler-unproven', 'first')),
    op(2, past('filler-unproven', 'second'), STEP, OTHER),
  ];
  assert.deepEqual(
    wentOn(STEP, fold(twice)).map(({ body }) => body.why),
    ['second'],
  );
  const refused = [op(1, past('filler-unproven'), STEP, DEVICE, 'refused')];
  assert.deepEqual(wentOn(STEP, fold(refused)), []);
});

test('a rule that the copy has no words for stops', () => {
  const state = fold([]);
  const effects = { ...EFFECTS, rules: {} };
  assert.deepEqual(
    guards(STEP, state, new Map(), effects).map(({ weight }) => weight),
    ['stop', 'stop'],
  );
});

const source = readFileSync(new URL('../../server/trade/place.rs', import.meta.url), 'utf8');

/** Labels and words as the server writes them into pages, read out of its source. */
function places() {
  const labels = Object.fromEntries(
    [...source.matchAll(/^ {8}\w+ = "([a-z-]+)", "([^"]+)";/gm)].map(([, code, label]) => [code, label]),
  );
  const table = source.slice(source.indexOf('WORDS:'), source.indexOf('/// Where a thing of this name'));
  const words = [...table.matchAll(/&\[([^\]]*)\],?\s*Zone::(\w+)/g)].map(([, list, zone]) => [
    [...list.matchAll(/"([^"]+)"/g)].map(([, word]) => word),
    zone.replace(/(?<=.)([A-Z])/g, '-$1').toLowerCase(),
  ]);
  return /** @type {any} */ ({ labels, words });
}

const { cases } = JSON.parse(readFileSync(new URL('../vectors/place.json', import.meta.url), 'utf8'));
for (const { name, given, expect } of cases) {
  test(`place: ${name}`, () => assert.equal(zoneOfHand(given.words, given.where, places()), expect));
}

test('a thing of a card is where the server has written it; one it has not written is somewhere', () => {
  const end = (/** @type {string} */ key) => /** @type {any} */ ({ key, words: 'left', where: '' });
  assert.equal(zoneOfEnd(end('fluid:coolant'), { 'fluid:coolant': 'engine-bay' }, places()), 'engine-bay');
  assert.equal(zoneOfEnd(end('fluid:coolant'), {}, places()), 'car');
});

test('wheels: stands count before the jack, a wheel that is off before both', () => {
  const found = (/** @type {string[]} */ ...facts) => wheels(facts, places());
  assert.deepEqual(Object.values(found()), ['wheels', 'wheels', 'wheels', 'wheels']);
  assert.deepEqual(found('jacked:front end', 'stands:rear end', 'wheel-off:rear left wheel'), {
    'front-left': 'jack',
    'front-right': 'jack',
    'rear-left': 'off',
    'rear-right': 'stands',
  });
  assert.deepEqual([...new Set(Object.values(found('stands:car')))], ['stands']);
});
