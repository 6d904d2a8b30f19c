// @ts-check
/**
 * What waits and what needs a look, for the page that lists it. Nothing here deletes anything.
 *
 * @typedef {import('../work/op.js').Rec} Rec
 */
import { tell } from '../lib/bus.js';
import { opsIn, read, write } from '../lib/db.js';
import { tick } from '../lib/hlc.js';
import { uuid7 } from '../lib/ids.js';
import { order } from '../work/op.js';
import { now } from './clock.js';

/** @returns {Promise<Rec[]>} what the server does not have yet, oldest first */
export function listWaiting() {
  return list('waiting', () => true);
}

/** @returns {Promise<Rec[]>} what the server will not take, without what was put aside */
export function listRefused() {
  return list('refused', ({ seen }) => !seen);
}

/** @returns {Promise<Rec[]>} what the server keeps in the logbook only, because its subject is gone */
export function listKept() {
  return list('sent', ({ verdict, seen }) => verdict?.code === 'kept' && !seen);
}

/**
 * @param {import('../work/op.js').State} state
 * @param {(record: Rec) => boolean} which
 */
async function list(state, which) {
  const records = await read(['ops'], (tx) => opsIn(tx, state));
  return records.filter(which).sort((a, b) => order(a.op, b.op));
}

/**
 * Puts a refused or kept operation aside: it stays stored, and is no longer counted.
 * @param {string} id
 */
export async function putAside(id) {
  const changed = await write(['ops'], async (tx) => {
    const record = await tx.objectStore('ops').get(id);
    if (!record) return [];
    const seen = { ...record, seen: true };
    await tx.objectStore('ops').put(seen);
    return [seen];
  });
  tell('changed', { phase: 'refused', records: changed });
}

/**
 * Sends a refused operation again, perhaps changed, as a new one; the refused one is put aside.
 * @param {string} id
 * @param {Partial<Pick<import('../work/op.js').Op, 'on'|'do'|'card'>>} [change]
 */
export async function tryAgain(id, change = {}) {
  const changed = await write(['ops', 'meta'], async (tx) => {
    const ops = tx.objectStore('ops');
    const record = await ops.get(id);
    if (record?.state !== 'refused') return [];
    const hlc = tick(await tx.objectStore('meta').get('hlc'), now());
    await tx.objectStore('meta').put(hlc, 'hlc');
    const op = { ...record.op, ...change, id: uuid7(now()), hlc };
    const { verdict, seen, seq, ...plain } = record;
    const fresh = /** @type {Rec} */ ({ ...plain, id: op.id, hlc, op, state: 'waiting' });
    const aside = { ...record, seen: true };
    await ops.put(fresh);
    await ops.put(aside);
    return [fresh, aside];
  });
  tell('changed', { phase: 'saved', records: changed });
}
