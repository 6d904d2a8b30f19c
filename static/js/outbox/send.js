// @ts-check
/**
 * Sending operations, oldest first, and doing what the verdicts say. Only `flush.js` calls this, under its lock.
 *
 * @typedef {import('../work/op.js').Rec} Rec
 */
import { tell } from '../lib/bus.js';
import { opsIn, read, write } from '../lib/db.js';
import { tick } from '../lib/hlc.js';
import { order } from '../work/op.js';
import { now } from './clock.js';
import { call, Pause } from './server.js';
import { fate } from './verdict.js';

/** Operations in one request. */
export const BATCH = 50;

/** A clock that is still refused after this many corrections is not the phone's fault. */
const CORRECTIONS = 3;

/**
 * Sends until nothing waits.
 * @param {(sending: number) => void} tellSending
 */
export async function sendOps(tellSending) {
  let size = BATCH;
  let corrections = 0;
  for (;;) {
    const batch = await read(['ops'], (tx) => opsIn(tx, 'waiting', size));
    tellSending(batch.length);
    if (batch.length === 0) return;
    const ops = batch.map((record) => record.op);
    const answer = await call('/sync/ops', { json: { ops }, own: [413] });
    if (!answer.ok) {
      // Too large. One that is so by itself can be sent in no way: the person has to look at it.
      const { code, say } = answer;
      if (batch.length === 1) {
        await keep([{ id: batch[0].id, fate: { to: 'refused', code: code || 'too-large', say } }]);
      }
      size = Math.ceil(batch.length / 2);
      continue;
    }
    if (await settle(batch, answer.body?.verdicts)) {
      if (++corrections > CORRECTIONS) {
        throw new Pause('wait', 'The clocks of this phone and of the garage computer do not agree.');
      }
      await restamp();
    }
    size = BATCH;
  }
}

/**
 * @param {Rec[]} batch
 * @param {any} verdicts in the order sent
 * @returns {Promise<boolean>} whether waiting operations need new clocks
 */
async function settle(batch, verdicts) {
  const fits =
    Array.isArray(verdicts) &&
    verdicts.length === batch.length &&
    verdicts.every((verdict, n) => (verdict?.id ?? batch[n].id) === batch[n].id);
  if (!fits) throw new Pause('wait', 'The answer does not fit what was sent.');
  const fates = batch.map(({ id }, n) => ({ id, fate: fate(verdicts[n]) }));
  await keep(fates);
  if (fates.some(({ fate }) => fate.to === 'waiting')) {
    throw new Pause('wait', 'The garage computer gave an answer that this version does not know.');
  }
  return fates.some(({ fate }) => fate.to === 'restamp');
}

/**
 * Writes down what became of operations. They are read again first: while the request was under way a pull may have
 * brought the server's own copy of one.
 * @param {{id: string, fate: import('./verdict.js').Fate}[]} fates
 */
async function keep(fates) {
  const { sent, refused } = await write(['ops'], async (tx) => {
    const store = tx.objectStore('ops');
    /** @type {{sent: Rec[], refused: Rec[]}} */
    const changed = { sent: [], refused: [] };
    for (const { id, fate } of fates) {
      const record = await store.get(id);
      const settled = record && settledAs(record, fate);
      if (!settled) continue;
      await store.put(settled);
      changed[settled.state === 'sent' ? 'sent' : 'refused'].push(settled);
    }
    return changed;
  });
  if (sent.length) tell('changed', { phase: 'sent', records: sent });
  if (refused.length) tell('changed', { phase: 'refused', records: refused });
}

/**
 * @param {Rec} record
 * @param {import('./verdict.js').Fate} fate
 * @returns {Rec|null} null: it goes on waiting
 */
function settledAs(record, fate) {
  const { state, verdict, seen, ...plain } = record;
  switch (fate.to) {
    case 'sent':
      return {
        ...plain,
        state: 'sent',
        seq: fate.seq,
        ...(fate.say ? { verdict: { code: 'kept', say: fate.say } } : {}),
      };
    case 'refused':
      return { ...plain, state: 'refused', verdict: { code: fate.code, say: fate.say } };
    case 'restamp':
    case 'waiting':
      return null;
  }
}

/**
 * New clocks for everything that waits, in the old order, greater than every clock the server has seen from here.
 * The server's time was learned from the answer already.
 */
async function restamp() {
  const moved = await write(['ops', 'meta'], async (tx) => {
    const had = [...(await opsIn(tx, 'sent')), ...(await opsIn(tx, 'known'))];
    let last = had.reduce((most, { hlc }) => (hlc > most ? hlc : most), '');
    const waiting = (await opsIn(tx, 'waiting')).sort((a, b) => order(a.op, b.op));
    const records = waiting.map((record) => {
      last = tick(last, now());
      return { ...record, hlc: last, op: { ...record.op, hlc: last } };
    });
    await tx.objectStore('meta').put(last, 'hlc');
    for (const record of records) await tx.objectStore('ops').put(record);
    return records;
  });
  tell('changed', { phase: 'saved', records: moved });
}
