// @ts-check
/**
 * The status strip: how much waits, how old the copy is, when the server was last heard.
 *
 * Markup (all inside any element with `data-status`, which gets `data-state` = `good`, `waiting`, `away`, `look`, `pair`):
 * `data-status-waiting`, `data-status-copy`, `data-status-contact`: filled with words.
 * Anywhere: `data-send-now` (a button), `data-needs-pairing`, `data-newer-copy` and `data-needs-look` (shown when so; hidden at first).
 */
import { hear } from '../lib/bus.js';
import { all, onTap, show, write } from '../lib/page.js';
import { count, moment } from '../lib/when.js';
import { outboxStatus, sendNow } from '../outbox/flush.js';
import { packOf } from '../pack/take.js';

/** @typedef {import('../outbox/flush.js').Status} Status */

/**
 * @param {Status} status
 * @returns {string}
 */
export function waitingWords({ waiting, photosWaiting, refused, photo }) {
  const parts = [];
  if (waiting) parts.push(`${waiting} waiting`);
  if (photosWaiting) parts.push(`${count(photosWaiting, 'photo')} waiting`);
  if (photo) parts.push(`photo ${Math.floor((photo.offset / photo.bytes) * 100)} % sent`);
  if (refused) parts.push(`${refused} to look at`);
  return parts.join(' · ') || 'All sent';
}

/**
 * @param {Status} status
 * @returns {string}
 */
export function contactWords({ reachable, lastContact, lastError, paired, busy }) {
  const since = lastContact ? moment(lastContact) : 'never';
  if (!paired) return 'Pair this phone again; everything is kept';
  if (reachable === null) return busy ? 'Asking the garage computer' : `Last contact ${since}`;
  if (!reachable) return `No contact since ${since}`;
  return lastError ? `Contact, but: ${lastError}` : `Contact ${since}`;
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

/** @param {import('../lib/db.js').Pack|null} pack */
export function copyWords(pack) {
  return pack?.complete ? `Copy of ${moment(pack.as_of)}, complete` : 'No copy on this phone';
}

/** @param {string} car '' on pages about no car */
export async function startStatus(car) {
  hear('outbox', paint);
  paint(outboxStatus());
  onTap('[data-send-now]', () => void sendNow());
  hear('pack', (news) => {
    if (news.car !== car || news.phase === 'taking') return;
    write('[data-status-copy]', copyWords(news.pack));
    if (news.phase === 'newer') show('[data-newer-copy]', true);
  });
  if (car) write('[data-status-copy]', copyWords(await packOf(car)));
}

/** @param {Status} status */
function paint(status) {
  const state = stateWord(status);
  for (const strip of all('[data-status]')) if (strip.dataset.state !== state) strip.dataset.state = state;
  write('[data-status-waiting]', waitingWords(status));
  write('[data-status-contact]', contactWords(status));
  show('[data-needs-pairing]', !status.paired);
  show('[data-needs-look]', status.refused > 0);
}
