// @ts-check
/**
 * One car's operations in memory, kept up to date: what a page reads to paint itself.
 *
 *     const car = await openCar(page.car);
 *     car.onChange(() => paint(car.state(), car.looseEnds(effects)));
 *
 * The listener is called at once, and then in the same turn in which something is recorded: before it is stored.
 *
 * @typedef {import('../work/op.js').Rec} Rec
 */
import { hear } from '../lib/bus.js';
import { read } from '../lib/db.js';
import { fold } from '../work/fold.js';
import { ledger } from '../work/ledger.js';

/** @param {string} id */
export async function openCar(id) {
  /** @type {Map<string, Rec>} */
  const records = new Map();
  /** @type {Set<() => void>} */
  const listeners = new Set();
  const changed = () => {
    for (const listener of listeners) listener();
  };
  const load = async () => {
    const stored = await read(['ops'], (tx) => tx.objectStore('ops').index('car').getAll(id));
    const unstored = [...records.values()].filter(({ state }) => state === 'saving' || state === 'failed');
    records.clear();
    for (const record of [...unstored, ...stored]) records.set(record.id, record);
    changed();
  };
  const forget = hear('changed', ({ phase, records: news }) => {
    if (phase === 'reload') return void load().catch(() => {});
    const mine = /** @type {Rec[]} */ (news).filter(({ car }) => car === id);
    for (const record of mine) records.set(record.id, record);
    if (mine.length) changed();
  });
  await load();
  return {
    id,
    /** Every operation on the car. */
    records: () => [...records.values()],
    /** What they come to: see `work/fold.js`. */
    state: () => fold(records.values()),
    /** What is loose right now: see `work/ledger.js`. @param {import('../work/ledger.js').Effects} effects */
    looseEnds: (effects) => ledger(records.values(), effects),
    /** Calls back now and on every change; the answer stops that. @param {() => void} listener */
    onChange(listener) {
      listeners.add(listener);
      listener();
      return () => void listeners.delete(listener);
    },
    /** Stops following. */
    close: forget,
  };
}
