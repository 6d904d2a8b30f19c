/** The counter of bolts, against the vectors that the server runs too, and what is asked before a tick. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import './phone.js';
import { count, leftGuard, stageName, tightAt } from '../../static/js/work/bolts.js';
import { fold } from '../../static/js/work/fold.js';
import { recordOf } from '../../static/js/work/op.js';
import { CAR, CARD, DEVICE, STEP } from './phone.js';

/** Operations of presses, the latest last. @param {any[]} presses @param {any} [state] */
function pressed(presses, state = 'known') {
  return presses.map(([stage, bolt, say], at) => {
    const op = {
      id: `0190a1b2-0000-7000-8000-${String(at).padStart(12, '0')}`,
      device: DEVICE,
      hlc: `${String(1_750_000_000_000 + at).padStart(16, '0')}-00000`,
      car: CAR,
      card: CARD,
      on: { step: STEP },
      do: { bolt: { stage, bolt, state: say, of: 10, say: 'Head bolts' } },
    };
    return recordOf(/** @type {any} */ (op), state, 0);
  });
}

const { cases } = JSON.parse(readFileSync(new URL('../vectors/bolts.json', import.meta.url), 'utf8'));
for (const { name, given, expect } of cases) {
  test(`bolts: ${name}`, () => {
    const { presses, ...joint } = given;
    // In whatever order they arrive.
    assert.deepEqual(count(joint, tightAt(fold(pressed(presses).reverse()), STEP)), expect);
  });
}

test('a press that the server refused is no tight bolt, and none is tight at another step', () => {
  assert.equal(tightAt(fold(pressed([[1, 1, 'done']], 'refused')), STEP).size, 0);
  assert.equal(tightAt(fold(pressed([[1, 1, 'done']])), CARD).size, 0);
});

test('a tick is asked about while bolts are left, with how many and which is next, and not after', () => {
  const joint = { order: [1, 3, 2, 4], stages: 2, joints: 1 };
  const asked = (/** @type {string[]} */ ...tight) => leftGuard(joint, count(joint, new Set(tight)));
  assert.equal(asked('1:1')?.say, '7 bolts are left of 8: next is stage 1 of 2, bolt 2.');
  const all = ['1:1', '1:2', '1:3', '1:4', '2:1', '2:2', '2:3'];
  assert.equal(asked(...all)?.say, '1 bolt is left of 8: next is stage 2 of 2, bolt 4.');
  assert.equal(asked(...all, '2:4'), null);
  const one = { ...joint, stages: 1 };
  assert.equal(leftGuard(one, count(one, new Set()))?.say, '4 bolts are left of 4: next is bolt 1.');
});

test('a stage is named only where there are several', () => {
  assert.equal(stageName('Head bolts', 2, 3), 'Head bolts, stage 2 of 3');
  assert.equal(stageName('Wheel nuts', 1, 1), 'Wheel nuts');
});
