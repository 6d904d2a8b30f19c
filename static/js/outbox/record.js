// @ts-check
/**
 * Making an operation: `record({card, on: {step: id}, do: {tick: {state: 'done'}}})`.
 *
 * It is told as `saving` in the same turn, so that the page shows it in the same frame, and as `saved` when the
 * transaction is complete. The clock is stored in the same transaction, before the operation; the bytes of a photo begin
 * to wait with the operation that speaks of them.
 *
 * @typedef {import('../work/op.js').Rec} Rec
 * @typedef {import('../work/op.js').Op} Op
 *
 * @typedef {object} Wish
 * @property {string} [car] the page's car when left out
 * @property {string|null} [card]
 * @property {import('../work/op.js').Subject} on
 * @property {import('../work/op.js').Do} do
 */
import { tell } from '../lib/bus.js';
import { write } from '../lib/db.js';
import { tick } from '../lib/hlc.js';
import { uuid7 } from '../lib/ids.js';
import { recordOf } from '../work/op.js';
import { changeIn, withRoom } from './bytes.js';
import { deviceId, now } from './clock.js';

/** Greatest clock this page has made; only to draw with until the stored one is known. */
let drawn = '';

/**
 * @param {Wish} wish
 * @returns {Promise<Rec>} once it is safe on this phone; throws `StorageError` when it is not
 */
export async function record(wish) {
  const device = deviceId();
  if (!device) throw new Error('This browser is not paired, so it cannot record anything.');
  drawn = tick(drawn, now());
  const car = wish.car ?? document.body.dataset.car ?? '';
  const id = uuid7(now());
  const op = { id, device, hlc: drawn, car, card: wish.card ?? null, on: wish.on, do: wish.do };
  const saving = recordOf(op, 'saving', Date.now());
  tell('changed', { phase: 'saving', records: [saving] });
  return save(saving);
}

/**
 * Tries again to store what could not be stored.
 * @param {Rec} failed
 */
export function saveAgain(failed) {
  const saving = recordOf(failed.op, 'saving', Date.now());
  tell('changed', { phase: 'saving', records: [saving] });
  return save(saving);
}

/** @param {Rec} saving */
async function save(saving) {
  try {
    const saved = await withRoom(() => store(saving.op));
    tell('changed', { phase: 'saved', records: [saved] });
    return saved;
  } catch (error) {
    const say = error instanceof Error ? error.message : String(error);
    tell('changed', { phase: 'failed', records: [{ ...saving, state: 'failed' }], say });
    throw error;
  }
}

/**
 * @param {Op} drawnOp
 * @returns {Promise<Rec>}
 */
function store(drawnOp) {
  return write(['ops', 'meta', 'photo_bytes'], async (tx) => {
    const meta = tx.objectStore('meta');
    const hlc = tick(await meta.get('hlc'), now());
    await meta.put(hlc, 'hlc');
    const saved = recordOf({ ...drawnOp, hlc }, 'waiting', Date.now());
    await tx.objectStore('ops').put(saved);
    if ('photo' in drawnOp.do) {
      await changeIn(tx, drawnOp.do.photo.sha256, (head) =>
        head.state === 'held' ? { ...head, state: 'waiting' } : head,
      );
    }
    return saved;
  });
}
