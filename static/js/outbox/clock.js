// @ts-check
/**
 * This device: its id, and its clock as corrected by the server's.
 *
 * A phone's clock may be wrong by a year. Order comes from the hybrid logical clock; this only keeps it near the truth.
 */
import { setMeta, write } from '../lib/db.js';

/** A difference smaller than this is the network's, milliseconds. */
const NOISE = 30_000;

let offset = 0;
let device = '';

/** Milliseconds, corrected. */
export function now() {
  return Date.now() + offset;
}

/** The device id given at pairing, for the next operation; '' when not paired. Operations made already keep theirs. */
export function deviceId() {
  return device;
}

/**
 * Takes the device id and the correction of last time. The id which the page carries is for a phone that has none yet: a
 * page out of a copy was drawn for the device that this browser was then. Writes something each time, so that a store
 * which takes nothing is found out at the start and not at the first tick.
 * @param {string} fromPage
 */
export async function wake(fromPage) {
  device = fromPage;
  await write(['meta'], async (tx) => {
    const meta = tx.objectStore('meta');
    await meta.put(Date.now(), 'opened');
    offset = (await meta.get('offset')) ?? 0;
    const known = (await meta.get('device')) ?? '';
    device = known || fromPage;
    if (device && !known) await meta.put(device, 'device');
  });
}

/**
 * Learns from the server who this browser is to it: another device than before when it was paired again.
 * @param {unknown} id what its greeting says
 */
export async function learnDevice(id) {
  if (typeof id !== 'string' || !id || id === device) return;
  device = id;
  await setMeta('device', id);
}

/**
 * Learns the server's time from any answer that carries it.
 * @param {number} serverNow milliseconds
 */
export async function learn(serverNow) {
  const found = serverNow - Date.now();
  if (Math.abs(found - offset) < NOISE) return;
  offset = found;
  await setMeta('offset', offset);
}
