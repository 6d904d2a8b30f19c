// @ts-check
/**
 * Telling a new phone from one that lost its storage.
 *
 * The first time something is stored here, the browser is asked to keep it, a marker is written beside it and the server is
 * told. When the server then
 * says that this device stored things (`<body data-kept="1">`), or when there is a copy of a car, whose pages may have been
 * drawn before the server knew it, and the marker is gone, the browser has erased the store: the page says so, in
 * `data-lost-storage` (hidden at first), until `data-lost-storage-seen` in it is tapped.
 */
import { hear } from '../lib/bus.js';
import { getMeta, setMeta } from '../lib/db.js';
import { onTap, show } from '../lib/page.js';
import { call } from '../outbox/server.js';
import { askToKeep, isPointedAt } from '../pack/take.js';

/** @typedef {{at: number, told: boolean}} Marker */

/** @param {boolean} said what the server says */
export async function watchStorage(said) {
  const marker = /** @type {Marker|undefined} */ (await getMeta('marker'));
  const kept = said || (await isPointedAt());
  if (kept && !marker) {
    show('[data-lost-storage]', true);
    onTap('[data-lost-storage-seen]', async () => {
      show('[data-lost-storage]', false);
      await setMeta('marker', { at: Date.now(), told: true });
    });
  }
  // Not waited for: without a server the page must start all the same.
  if (marker && !marker.told) void tellServer();
  if (marker || kept) return;
  /** @type {(() => void)[]} */
  const stops = [];
  const mark = async () => {
    for (const stop of stops) stop();
    void askToKeep();
    await setMeta('marker', { at: Date.now(), told: false });
    await tellServer();
  };
  stops.push(hear('changed', ({ phase }) => phase === 'saved' && void mark()));
  stops.push(hear('pack', ({ phase }) => phase === 'taken' && void mark()));
}

/** Not reached now, it is told at the next start. */
async function tellServer() {
  try {
    await call('/sync/kept', { method: 'POST' });
    await setMeta('marker', { at: Date.now(), told: true });
  } catch {
    // The marker stays untold.
  }
}
