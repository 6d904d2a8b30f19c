// @ts-check
/**
 * The status strip: how whole and old the copy is, how much waits, when the server was last heard.
 *
 * Markup: inside any element with `data-status` (which gets `data-state` = `good`, `waiting`, `away`, `look`, `pair`) the
 * items `data-status-copy`, `data-status-outbox` and `data-status-contact`. Words go into the item's `data-words`, or
 * into the item itself; an `<i class="mark …">` that comes first in it gets the mark of the state.
 * Anywhere: `data-send-now` (a button), `data-last-error` (filled with words), and, hidden at first, shown when so:
 * `data-needs-pairing`, `data-needs-look`, `data-newer-copy`.
 *
 * @typedef {import('../outbox/flush.js').Status} Status
 * @typedef {import('../lib/db.js').Pack} Pack
 * @typedef {{mark: string, words: string}} Item
 */
import { hear } from '../lib/bus.js';
import { all, onTap, show, write } from '../lib/page.js';
import { age, count, moment } from '../lib/when.js';
import { outboxStatus, sendNow } from '../outbox/flush.js';
import { packOf } from '../pack/take.js';

/** @param {Status} status @returns {Item} */
export function outboxItem({ waiting, photosWaiting, refused, photo, paired }) {
  const parts = [];
  if (waiting) parts.push(`${waiting} to send`);
  if (photo) parts.push(`photo ${Math.floor((photo.offset / photo.bytes) * 100)} %`);
  else if (photosWaiting) parts.push(`${count(photosWaiting, 'photo')}${waiting ? '' : ' to send'}`);
  if (refused) parts.push(`${refused} to look at`);
  if (!paired) parts.push('pair again');
  const mark = refused || !paired ? 'refused' : parts.length ? 'waiting' : 'sent';
  return { mark, words: parts.join(', ') || 'All sent' };
}

/** @param {Status} status @returns {Item} */
export function contactItem({ reachable, lastContact }) {
  const since = lastContact ? moment(lastContact) : '';
  if (reachable === false) return { mark: 'lost', words: since ? `Lost, heard ${since}` : 'Not heard' };
  return { mark: reachable ? 'reach' : 'lost', words: since ? `Heard ${since}` : 'Not heard yet' };
}

/**
 * @param {Pack|null} pack
 * @param {import('../pack/take.js').Progress|null} [taking]
 * @returns {Item}
 */
export function copyItem(pack, taking) {
  if (taking) return { mark: 'part', words: `Copy ${taking.done} of ${taking.total}` };
  return pack
    ? { mark: 'whole', words: `Copy whole, ${age(pack.as_of)}` }
    : { mark: 'part', words: 'No copy' };
}

/**
 * One word for the style sheet; the words beside it say the same.
 * @param {Status} status
 */
export function stateWord({ paired, refused, waiting, photosWaiting, reachable }) {
  if (!paired) return 'pair';
  if (refused) return 'look';
  if (reachable === false) return 'away';
  return waiting + photosWaiting ? 'waiting' : 'good';
}

/** @param {string} car '' on pages about no car */
export async function startStatus(car) {
  let pack = car ? await packOf(car) : null;
  const paint = (/** @type {Status} */ status) => {
    paintOutbox(status);
    // Its age grows, so it is written each time.
    if (car) put('[data-status-copy]', copyItem(pack));
  };
  hear('outbox', paint);
  hear('pack', (news) => {
    if (news.car !== car) return;
    if (news.phase === 'taking') return put('[data-status-copy]', copyItem(pack, news.progress));
    pack = news.pack;
    paint(outboxStatus());
    if (news.phase === 'newer') show('[data-newer-copy]', true);
  });
  onTap('[data-send-now]', () => void sendNow());
  paint(outboxStatus());
}

/** @param {Status} status */
function paintOutbox(status) {
  const state = stateWord(status);
  for (const strip of all('[data-status]')) if (strip.dataset.state !== state) strip.dataset.state = state;
  put('[data-status-outbox]', outboxItem(status));
  put('[data-status-contact]', contactItem(status));
  write('[data-last-error]', status.lastError);
  show('[data-needs-pairing]', !status.paired);
  show('[data-needs-look]', status.refused > 0);
}

/** @param {string} selector @param {Item} item */
function put(selector, { mark, words }) {
  for (const element of all(selector)) {
    const at = element.querySelector('[data-words]') ?? element;
    if (at.textContent !== words) at.textContent = words;
    const sign = element.firstElementChild;
    if (sign?.tagName === 'I') sign.className = `mark mark--${mark}`;
  }
}
