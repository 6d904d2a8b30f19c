// @ts-check
/**
 * The ledger of loose ends, folded from the operations and from what every step opens and closes.
 */
import { pageJson } from '../lib/page.js';
import { count, moment } from '../lib/when.js';
import { record } from '../outbox/record.js';
import { paintCarPicture } from '../ui/car-picture.js';
import { attr, fresh, one, reveal, say } from '../ui/dom.js';
import { keepDraft, text } from '../ui/form-draft.js';
import { paintPhoto } from '../ui/items.js';
import { paintMarker } from '../ui/marker.js';
import { safely, startUnder } from '../ui/under.js';
import { openWork } from '../ui/work.js';
import { fold } from '../work/fold.js';
import { ledger } from '../work/ledger.js';
import { wheels, zoneOfEnd } from '../work/place.js';
import { trueNow } from '../work/state.js';

/** @typedef {import('../work/ledger.js').LooseEnd} LooseEnd */
/** @typedef {import('../work/ledger.js').Effects} Effects */

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  await startUnder(page);
  const { car } = page;
  document.addEventListener('submit', (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement)) return;
    if (form.hasAttribute('data-undid')) undid(event, form, car);
    if (form.hasAttribute('data-undone')) undone(event, form, car);
    if (form.hasAttribute('data-close')) closed(event, form, car);
  });
  const undidForm = one('form[data-undid]');
  await keepDraft(/** @type {HTMLFormElement} */ (undidForm), `undid:${car}`);
  const effects = pageJson('effects') ?? { steps: {} };
  const work = await openWork(car);
  const places = pageJson('places') ?? { labels: {}, words: [] };
  work.onChange(() => {
    const records = work.records();
    const ends = ledger(records, effects);
    const zones = ends.map((end) => zoneOfEnd(end, effects.zones ?? {}, places));
    paintCarPicture(one('[data-car-picture]'), zones, wheels(trueNow(records, effects).keys(), places));
    const photos = fold(records).photos;
    const rows = ends.map((end, at) => ({
      ...end,
      zone: zones[at] === 'car' ? '' : (places.labels[zones[at]] ?? ''),
      photo: photos.get(end.step ?? '')?.at(-1) ?? null,
    }));
    paint(car, rows, effects);
  });
}

/** How it is left is chosen, the tap on the car says where. @param {SubmitEvent} event @param {HTMLFormElement} form @param {string} car */
async function undone(event, form, car) {
  event.preventDefault();
  const chosen = form.querySelector('input[name="how"]:checked');
  const what = text(form, 'text');
  if (!(chosen instanceof HTMLInputElement)) return;
  const { label = '', alone = '' } = chosen.dataset;
  const words = chosen.value === 'other' ? what : what ? `${what}: ${label}` : alone;
  const trouble = one('[data-undone-trouble]', form);
  say(trouble, words ? '' : 'Say in a few words what it is.');
  reveal(trouble, !words);
  if (!words) return;
  const where = event.submitter?.getAttribute('value') ?? '';
  if (await safely(record({ on: { car }, do: { undid: { what: words, where } } }))) form.reset();
}

/** A loose end with what its row shows besides. @typedef {LooseEnd & {zone: string, photo: import('../work/fold.js').Item|null}} Row */

/** @param {Event} event @param {HTMLFormElement} form @param {string} car */
async function undid(event, form, car) {
  event.preventDefault();
  const what = text(form, 'text');
  if (!what) return;
  const undo = { what, where: text(form, 'place') };
  if (await safely(record({ on: { car }, do: { undid: undo } }))) form.reset();
}

/** @param {Event} event @param {HTMLFormElement} form @param {string} car */
function closed(event, form, car) {
  event.preventDefault();
  void safely(record({ on: { car }, do: { closed: { key: text(form, 'key') } } }));
}

let shown = '';

/** @param {string} car @param {Row[]} ends @param {Effects} effects */
function paint(car, ends, effects) {
  const signature = JSON.stringify(ends);
  if (signature === shown) return;
  shown = signature;
  say(one('[data-title]'), ends.length ? count(ends.length, 'loose end') : 'No loose ends on record');
  reveal(one('[data-some]'), ends.length > 0);
  reveal(one('[data-none]'), ends.length === 0);
  one('[data-ends]').replaceChildren(...ends.map((end) => row(car, end, effects)));
}

/** @param {string} car @param {Row} end @param {Effects} effects */
function row(car, end, effects) {
  const drawn = fresh('end');
  attr(drawn, 'data-key', end.key);
  say(one('[data-words]', drawn), end.where ? `${end.words} (${end.where})` : end.words);
  say(one('[data-zone-label]', drawn), end.zone);
  if (end.photo) paintPhoto(drawn, end.photo);
  say(one('[data-since]', drawn), `since ${moment(end.when)}`);
  say(one('[data-from]', drawn), end.card || 'by hand');
  paintMarker(one('[data-mark]', drawn), { mark: end.mark, device: '', say: '' });
  const from = end.step ? effects.steps[end.step]?.card : '';
  const [closer, ...others] = [...end.closers].sort(
    (a, b) => Number(a.card !== from) - Number(b.card !== from),
  );
  const [first, byHand, rest] = ['[data-closer]', '[data-by-hand]', '[data-others]'].map((at) =>
    one(at, drawn),
  );
  reveal(first, closer !== undefined);
  reveal(byHand, closer === undefined);
  reveal(rest, others.length > 0);
  if (closer) link(car, one('a', first), closer, 'closed by ');
  say(one('summary', rest), `or by ${count(others.length, 'other step')}`);
  one('ul', rest).replaceChildren(
    ...others.map((other) => {
      const item = fresh('closer');
      link(car, one('a', item), other, '');
      return item;
    }),
  );
  const key = drawn.querySelector('input[name="key"]');
  if (key instanceof HTMLInputElement) key.value = end.key;
  return drawn;
}

/** @param {string} car @param {HTMLElement} to @param {import('../work/ledger.js').Closer & {number?: number}} closer @param {string} before */
function link(car, to, { card, card_title, number }, before) {
  attr(to, 'href', `/under/${car}/cards/${card}#step-${number ?? 1}`);
  say(to, `${before}step ${number ?? ''} of ${card_title}`);
}
