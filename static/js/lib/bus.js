// @ts-check
/**
 * The one place where modules tell each other that something happened.
 *
 * | event | detail | when |
 * |---|---|---|
 * | `underlamp:changed` | {@link Changed} | operations were made, stored, sent, refused, pulled |
 * | `underlamp:outbox` | `Status` of `outbox/flush.js` | anything about sending changed |
 * | `underlamp:pack` | `PackNews` of `pack/take.js` | the copy of a car on this phone changed |
 *
 * What is told to `underlamp:changed` reaches the other tabs of this browser too, except `saving`: they hear what became of it.
 *
 * @typedef {import('../work/op.js').Rec} Rec
 *
 * `saving` is told before anything is stored, so that the page can show it in the same frame. `reload` carries no
 * records and asks everybody to read the store again.
 * @typedef {object} Changed
 * @property {'saving'|'saved'|'failed'|'sent'|'refused'|'pulled'|'reload'} phase
 * @property {Rec[]} records
 * @property {string} [say] in words, when `failed`
 * @property {boolean} [elsewhere] true when another tab told it
 */

export const bus = new EventTarget();

const others =
  typeof document === 'undefined' || typeof BroadcastChannel === 'undefined'
    ? null
    : new BroadcastChannel('underlamp');

others?.addEventListener('message', (event) => send('changed', { ...event.data, elsewhere: true }));

/**
 * @param {string} name
 * @param {unknown} detail
 */
function send(name, detail) {
  bus.dispatchEvent(new CustomEvent(`underlamp:${name}`, { detail }));
}

/**
 * Tells everybody, at once and in this turn of the event loop.
 * @param {'changed'|'outbox'|'pack'} name
 * @param {any} detail
 */
export function tell(name, detail) {
  send(name, detail);
  if (name === 'changed' && detail.phase !== 'saving') others?.postMessage(detail);
}

/**
 * Listens; the answer stops listening.
 * @param {'changed'|'outbox'|'pack'} name
 * @param {(detail: any) => void} listener
 * @returns {() => void}
 */
export function hear(name, listener) {
  const heard = (/** @type {Event} */ event) => listener(/** @type {CustomEvent} */ (event).detail);
  bus.addEventListener(`underlamp:${name}`, heard);
  return () => bus.removeEventListener(`underlamp:${name}`, heard);
}
