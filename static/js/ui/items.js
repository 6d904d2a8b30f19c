// @ts-check
/**
 * What was noted, as rows: notes, findings, readings, photos.
 *
 * @typedef {import('../work/fold.js').Item} Item
 * @typedef {import('../work/fold.js').CarState} CarState
 */
import { pageJson } from '../lib/page.js';
import { moment } from '../lib/when.js';
import { photoUrl } from '../outbox/photos.js';
import { lookWords } from '../work/look.js';
import { attr, fresh, mark, one, reveal, say } from './dom.js';
import { paintMarker } from './marker.js';

/** @type {Record<string, string>} */
const WEIGHTS = { act: 'Act on it', watch: 'Watch it', fine: 'Fine', unknown: 'Don’t know' };

/** @type {Record<string, string>|null} */
let units = null;

/** @param {string} code */
export function unitName(code) {
  units ??= /** @type {Record<string, string>} */ (pageJson('units') ?? {});
  return code === 'count' ? '' : (units[code] ?? code);
}

/** A number as it was typed, with a decimal point: pages have one mark. @param {string} typed */
function figure(typed) {
  return typed.trim().replace(',', '.');
}

/** @type {Record<string, string>} */
const SYMPTOMS = {
  noise: 'Noise',
  smell: 'Smell',
  leak: 'Leak',
  play: 'Play',
  pull: 'Pull to one side',
  lamp: 'Warning lamp',
};

/** @param {{kind: string, text: string}} body */
function symptomWords(body) {
  return `${SYMPTOMS[body.kind] ?? 'Symptom'}: ${body.text.trim()}`;
}

/** @param {import('../work/op.js').Kind} kind @param {any} body */
export function noteWords(kind, body) {
  if (kind === 'reading') return `${body.what}: ${figure(body.number)} ${unitName(body.unit)}`.trimEnd();
  if (kind === 'odometer') return `Odometer: ${figure(body.number)} ${body.unit}`;
  if (kind === 'photo') return body.caption || 'Photo';
  if (kind === 'symptom') return symptomWords(body);
  if (kind === 'fluid-look') return lookWords(body, pageJson('looks') ?? {});
  if (kind === 'correction') return `Correction: ${body.text}`;
  return body.text ?? '';
}

/**
 * What was noted on one thing, newest first.
 * @param {CarState} state
 * @param {string} subject
 * @returns {Item[]}
 */
export function itemsOn(state, subject) {
  const readings = [...(state.readings.get(subject)?.values() ?? [])].flatMap(({ history }) => history);
  const added = [state.notes, state.findings, state.photos, state.looks, state.corrections].flatMap(
    (map) => map.get(subject) ?? [],
  );
  return newestFirst([...readings, ...added]);
}

/**
 * Everything that was noted, newest first.
 * @param {CarState} state
 * @returns {Item[]}
 */
export function itemsAll(state) {
  const readings = [...state.readings.values()].flatMap((said) =>
    [...said.values()].flatMap(({ history }) => history),
  );
  const added = [state.notes, state.findings, state.photos, state.looks, state.corrections].flatMap((map) =>
    [...map.values()].flat(),
  );
  return newestFirst([...readings, ...added, ...(state.odometer?.history ?? [])]);
}

/** @param {Item[]} items */
function newestFirst(items) {
  return items.sort((a, b) => (a.hlc < b.hlc ? 1 : a.hlc > b.hlc ? -1 : 0));
}

/** What each list shows at the moment. @type {WeakMap<HTMLElement, string>} */
const shown = new WeakMap();

/**
 * Paints the list anew when what it is to show differs from what it shows.
 * @param {HTMLElement} list
 * @param {Item[]} items
 */
export function paintItems(list, items) {
  const signature = items.map(({ id, mark: how, say: words }) => `${id} ${how} ${words}`).join('\n');
  if (shown.get(list) === signature) return;
  shown.set(list, signature);
  const known = new Map([...list.children].map((row) => [row.getAttribute('data-op'), row]));
  list.replaceChildren(...items.map((item) => row(item, known.get(item.id))));
  reveal(list, items.length > 0);
}

/**
 * @param {Item} item
 * @param {Element|undefined} known the row it has already, when a script drew it
 */
function row(item, known) {
  const drawn = known instanceof HTMLElement && known.querySelector('[data-more]') ? known : draw(item);
  paintMarker(one('[data-mark]', drawn), item);
  return drawn;
}

/** @param {Item} item */
function draw(item) {
  const drawn = fresh('item');
  attr(drawn, 'data-op', item.id);
  say(one('[data-words]', drawn), noteWords(item.kind, item.body));
  const where = item.kind === 'finding' && item.body.where ? `${item.body.where} · ` : '';
  say(one('[data-more]', drawn), where + moment(item.when));
  if (item.kind === 'finding') paintWeight(one('[data-weight]', drawn), item.body.weight);
  if (item.kind === 'photo') paintPhoto(drawn, item);
  return drawn;
}

/** @param {HTMLElement} element @param {string} weight */
function paintWeight(element, weight) {
  element.className = `tag tag--${weight}`;
  element.append(mark(weight), ` ${WEIGHTS[weight] ?? weight}`);
  reveal(element, true);
}

/**
 * The small picture: the server's where it has one, else the bytes on this phone.
 * @param {HTMLElement} drawn
 * @param {Item} item
 */
export function paintPhoto(drawn, item) {
  const link = /** @type {HTMLAnchorElement} */ (one('[data-photo-link]', drawn));
  const image = /** @type {HTMLImageElement} */ (one('[data-photo-img]', drawn));
  const sha = item.body.sha256;
  image.alt = noteWords('photo', item.body);
  const ours = async () => {
    const url = await photoUrl(sha).catch(() => null);
    if (!url) return reveal(link, false);
    image.onload = () => URL.revokeObjectURL(url);
    image.onerror = null;
    image.src = url;
    reveal(link, true);
  };
  if (item.mark !== 'sent') return void ours();
  link.href = `/photos/${sha}/upright`;
  image.onerror = () => void ours();
  image.src = `/photos/${sha}/thumb`;
  reveal(link, true);
}
