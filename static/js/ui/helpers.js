// @ts-check
/**
 * Who reads along on the card that is worked, and what they call. Only where the garage is in reach: the server is asked once
 * whether the card has links at all, and again when it comes back into reach.
 *
 * Markup: `data-helpers` (hidden at first) with `data-helpers-words`; the dialog `data-ring` with `data-ring-what`,
 * `data-ring-by` and the button `data-ring-heard`.
 *
 * @typedef {{watching: string[], ring: {what: 'done'|'stop', by: string, at: number}|null}} Around
 */
import { hear } from '../lib/bus.js';
import { ask } from '../lib/http.js';
import { onTap } from '../lib/page.js';
import { one, reveal, say } from './dom.js';

/** @type {Record<string, string>} */
const CALLS = { stop: 'STOP!', done: 'Done' };

/** @param {string} card */
export function watchHelpers(card) {
  /** @type {EventSource|null} */
  let source = null;
  let asked = false;
  let heard = 0;
  const paint = (/** @type {Around} */ { watching, ring }) => {
    reveal(one('[data-helpers]'), watching.length > 0);
    say(one('[data-helpers-words]'), `Reading along: ${watching.join(', ')}`);
    if (!ring || ring.at <= heard) return;
    heard = ring.at;
    call(ring);
  };
  const listen = async () => {
    if (source || asked) return;
    asked = true;
    const { ok, body } = await ask(`/sync/helpers/${card}`, {}).catch(() => ({ ok: false, body: null }));
    if (!ok || !body.links) return;
    // What was called before this page was opened is no news.
    heard = body.ring?.at ?? 0;
    paint(body);
    source = new EventSource(`/sync/helpers/${card}/live`);
    source.addEventListener('around', (event) => paint(JSON.parse(event.data)));
    source.addEventListener('error', () => {
      reveal(one('[data-helpers]'), false);
      if (source?.readyState !== EventSource.CLOSED) return;
      source = null;
    });
  };
  hear('outbox', ({ reachable }) => {
    if (reachable) void listen();
    else asked = false;
  });
  onTap('[data-ring-heard]', () => /** @type {HTMLDialogElement} */ (one('[data-ring]')).close());
}

/** @param {NonNullable<Around['ring']>} ring */
function call({ what, by }) {
  const dialog = /** @type {HTMLDialogElement} */ (one('[data-ring]'));
  say(one('[data-ring-what]', dialog), CALLS[what] ?? what);
  say(one('[data-ring-by]', dialog), `${by} calls`);
  dialog.dataset.what = what;
  if (!dialog.open) dialog.showModal();
  navigator.vibrate?.(what === 'stop' ? [400, 100, 400, 100, 400] : 200);
}
