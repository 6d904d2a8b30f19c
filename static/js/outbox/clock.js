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

/** The device id given at pairing, '' when not paired. */
export function deviceId() {
  return device;
}

/**
 * Takes the device id which the page carries, or the one of last time, and the correction of last time. Writes
 * something each time, so that a store which takes nothing is found out at the start and not at the first tick.
 * @param {string} fromPage
 */
export async function wake(fromPage) {
  device = fromPage;
  await write(['meta'], async (tx) => {
    const meta = tx.objectStore('meta');
    await meta.put(Date.now(), 'opened');
    offset = (await meta.get('offset')) ?? 0;
    const known = (await meta.get('device')) ?? '';
    device = fromPage || known;
    if (device && device !== known) await meta.put(device, 'device');
  });
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
