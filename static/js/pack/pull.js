// @ts-check
/**
 * Reading what happened elsewhere: operations since the mark, stored together with the new mark.
 *
 * @typedef {import('../work/op.js').Op} Op
 * @typedef {import('../work/op.js').Rec} Rec
 */
import { tell } from '../lib/bus.js';
import { getMeta, setMeta, write } from '../lib/db.js';
import { receive } from '../lib/hlc.js';
import { call, giveBack } from '../outbox/server.js';
import { recordOf } from '../work/op.js';

/**
 * @param {string} car
 * @returns {Promise<number>} how many operations were news to this phone
 */
export async function pull(car) {
  let news = 0;
  for (;;) {
    const since = await getMeta(`mark:${car}`);
    const query = new URLSearchParams(since ? { car, since } : { car });
    const { ok, body } = await call(`/sync/changes?${query}`, { own: since ? [422] : [] });
    if (!ok) {
      // Not a mark that this server gave out: read from the beginning.
      await setMeta(`mark:${car}`, null);
      continue;
    }
    // With another store id, `call` has given everything back already, and forgotten the mark.
    if (body.fresh_start && (await getMeta(`mark:${car}`))) await giveBack();
    const records = await keep(car, body.ops, body.mark);
    news += records.length;
    if (records.length) tell('changed', { phase: 'pulled', records });
    if (!body.more || body.mark === since) return news;
  }
}

/**
 * @param {string} car
 * @param {(Op & {seq: number})[]} ops
 * @param {string} mark
 * @returns {Promise<Rec[]>} what changed
 */
function keep(car, ops, mark) {
  return write(['ops', 'meta'], async (tx) => {
    const [store, meta] = [tx.objectStore('ops'), tx.objectStore('meta')];
    const first = (await meta.get('hlc')) ?? null;
    let hlc = first;
    /** @type {Rec[]} */
    const changed = [];
    for (const { seq, ...op } of ops) {
      hlc = receive(hlc, op.hlc);
      const held = await store.get(op.id);
      if (held?.seq === seq && held.hlc === op.hlc) continue;
      const record = held
        ? { ...held, ...arrived(held), hlc: op.hlc, op, seq }
        : { ...recordOf(op, 'known', Date.now()), seq };
      await store.put(record);
      changed.push(record);
    }
    if (hlc !== first) await meta.put(hlc, 'hlc');
    await meta.put(mark, `mark:${car}`);
    return changed;
  });
}

/**
 * What was made here and turns out to be on the server, although its verdict never arrived. The server's copy takes the
 * place of ours: after a clock was corrected, its reading of the clock may be another one.
 * @param {Rec} held
 * @returns {Partial<Rec>}
 */
function arrived({ state }) {
  return state === 'waiting' || state === 'refused' ? { state: 'sent', verdict: undefined } : {};
}
