// @ts-check
/**
 * How far something recorded here has come: saving, saved on this phone, sent. What came from elsewhere carries no marker.
 *
 * @typedef {Pick<import('../work/fold.js').Item, 'mark'|'device'|'say'>} Marked
 */
import { deviceId } from '../outbox/clock.js';
import { attr, mark, reveal, say, setMark } from './dom.js';
import { MARK_WORDS } from './words.js';

/** @type {Record<Marked['mark'], string>} */
const MARKS = { saving: 'waiting', waiting: 'waiting', sent: 'sent', refused: 'refused', failed: 'stop' };

/** @param {Marked} item */
export function isOurs(item) {
  return item.mark !== 'sent' || item.device === deviceId();
}

/** @param {Marked} item */
export function markerWords(item) {
  return item.say ? `${MARK_WORDS[item.mark]}: ${item.say}` : MARK_WORDS[item.mark];
}

/**
 * Paints a marker into an empty element, or hides it.
 * @param {HTMLElement} element
 * @param {Marked|null} item
 */
export function paintMarker(element, item) {
  const shown = item !== null && isOurs(item);
  reveal(element, shown);
  if (!shown) return;
  if (!element.firstElementChild) element.append(mark('waiting'), ' ', document.createElement('span'));
  const [shape, words] = element.children;
  attr(element, 'class', item.mark === 'sent' ? 'sent' : 'waiting');
  setMark(shape, MARKS[item.mark]);
  say(words, markerWords(item));
}
