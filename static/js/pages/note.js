// @ts-check
/**
 * Note it: a finding, a photo, a reading, plain words, the time worked, the odometer; on the car, or on the card that was open last.
 */
import { all } from '../lib/page.js';
import { claimPhoto, holdPhoto, listPhotos, photoUrl } from '../outbox/photos.js';
import { record } from '../outbox/record.js';
import { attr, one, reveal, say } from '../ui/dom.js';
import { keepDraft, number, text } from '../ui/form-draft.js';
import { itemsAll, paintItems } from '../ui/items.js';
import { leftOff } from '../ui/left-off.js';
import { notSaved, safely, startUnder } from '../ui/under.js';
import { watchVerdicts } from '../ui/verdict.js';
import { openWork } from '../ui/work.js';
import { fold } from '../work/fold.js';
import { lookOf, ofFluid } from '../work/look.js';
import { inWords, worked } from '../work/minutes.js';

/** @typedef {import('../work/op.js').Do} Do */
/** @typedef {import('../lib/db.js').Head} Head */

/** How many of what was noted are listed. */
const LATELY = 20;

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  await startUnder(page);
  const { car } = page;
  await offerSubjects(car);
  for (const form of /** @type {HTMLFormElement[]} */ (all('form[data-form]'))) {
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      void keep(form, car);
    });
    const typed = await keepDraft(form, `${form.dataset.form}:${car}`);
    if (typed) form.closest('details')?.setAttribute('open', '');
  }
  await startPhotos(car);
  chooseFluid();
  one('#f-card-time').addEventListener('change', () => paintWorked(minutesByCard));
  const work = await openWork(car);
  const verdicts = watchVerdicts(document);
  work.onChange(() => {
    const records = work.records();
    verdicts.knows(records);
    const state = fold(records);
    paintWorked(state.minutes);
    const items = itemsAll(state).slice(0, LATELY);
    paintItems(one('[data-items="all"]'), items);
    reveal(one('[data-lately]'), items.length > 0);
  });
}

// ---------------------------------------------------------------- what it belongs to

/** Offers the step that was open last, and chooses its card. @param {string} car */
async function offerSubjects(car) {
  const place = await leftOff(car).catch(() => null);
  for (const select of /** @type {HTMLSelectElement[]} */ (all('select[data-subject]'))) {
    const card = [...select.options].find(({ value }) => value === place?.card);
    if (place && card) {
      const step = new Option(`step ${place.n} of ${card.text}`, `${place.card} ${place.step}`);
      card.after(step);
      select.value = card.value;
    }
    select.addEventListener('change', () => {
      for (const other of /** @type {HTMLSelectElement[]} */ (all('select[data-subject]')))
        other.value = select.value;
    });
  }
}

/**
 * @param {HTMLFormElement} form
 * @param {string} car
 * @returns {{card: string|null, on: import('../work/op.js').Subject}}
 */
function subject(form, car) {
  const [card, step] = text(form, 'card').split(' ');
  if (step) return { card, on: { step } };
  return card ? { card, on: { card } } : { card: null, on: { car } };
}

// ---------------------------------------------------------------- time worked

/** What was noted so far, by card. @type {Map<string, number>} */
let minutesByCard = new Map();

/** Says what was noted on the card that is chosen. @param {Map<string, number>} minutes by card */
function paintWorked(minutes) {
  minutesByCard = minutes;
  const select = /** @type {HTMLSelectElement} */ (one('#f-card-time'));
  const noted = minutes.get(select.value);
  const line = one('[data-worked]');
  if (noted) say(line, `Noted on this card so far: ${inWords(noted)}.`);
  reveal(line, noted !== undefined);
}

// ---------------------------------------------------------------- forms

/** @param {HTMLFormElement} form @returns {Do|null} null when something is missing */
function deed(form) {
  const words = text(form, 'text');
  switch (form.dataset.form) {
    case 'finding': {
      const weight = /** @type {'fine'|'watch'|'act'|'unknown'} */ (text(form, 'weight'));
      return words && weight ? { finding: { text: words, where: text(form, 'place'), weight } } : null;
    }
    case 'note':
      return words ? { note: { text: words } } : null;
    case 'reading': {
      const value = number(form);
      const what = text(form, 'name');
      return what && value ? { reading: { what, number: value, unit: text(form, 'unit') } } : null;
    }
    case 'odometer': {
      const value = number(form);
      const unit = /** @type {'km'|'mi'} */ (text(form, 'unit'));
      return value ? { odometer: { number: value, unit } } : null;
    }
    case 'time':
      return time(form);
    case 'fluid-look':
      return look(form);
    case 'symptom':
      return symptom(form);
    default:
      return null;
  }
}

/** The browser asks for what is missing. @param {HTMLFormElement} form @returns {Do|null} */
function time(form) {
  const field = /** @type {HTMLInputElement} */ (form.elements.namedItem('number'));
  const minutes = worked(field.value);
  field.setCustomValidity(
    minutes === null ? 'Write minutes such as 90, or hours and minutes such as 1:30.' : '',
  );
  field.addEventListener('input', () => field.setCustomValidity(''), { once: true });
  return form.reportValidity() && minutes !== null ? { time: { minutes } } : null;
}

/** @param {HTMLFormElement} form */
function symptom(form) {
  if (!form.reportValidity()) return null;
  const [kind, words, when, heat, speed, load] = ['kind', 'text', 'when', 'heat', 'speed', 'load'].map(
    (name) => text(form, name),
  );
  return { symptom: { kind, text: words, when, heat, speed, load } };
}

/** The browser asks for what is missing. @param {HTMLFormElement} form @returns {Do|null} */
function look(form) {
  if (!form.reportValidity()) return null;
  const [fluid, colour, smell, particles] = ['fluid', 'colour', 'smell', 'particles'].map((name) =>
    text(form, name),
  );
  return lookOf({ fluid, colour, smell, particles, note: text(form, 'text') });
}

/** A step leads here with the fluid that it is about: `#look-` and the id of its spec or its kind. */
function chooseFluid() {
  const wanted = location.hash.match(/^#look-(.+)$/)?.[1];
  const plate = document.getElementById('look');
  const select = plate?.querySelector('select');
  if (!wanted || !plate || !select) return;
  const option = [...select.options].find(({ value }) => value.split(' ').includes(wanted));
  if (option) select.value = option.value;
  plate.setAttribute('open', '');
  // A photo that waits for its words has no other button.
  if (!held) keepNext('fluid-look', 'Keep the look');
  plate.scrollIntoView({ block: 'start' });
}

/** @param {Do} act @param {HTMLFormElement} form @param {string} car */
function whereTo(act, form, car) {
  if ('odometer' in act || 'symptom' in act) return { card: null, on: { car } };
  return 'fluid-look' in act ? ofFluid(text(form, 'fluid'), car) : subject(form, car);
}

/** @param {HTMLFormElement} form @param {string} car */
async function keep(form, car) {
  const act = deed(form);
  if (!act) return;
  const where = whereTo(act, form, car);
  const chosen = text(form, 'card');
  if (!(await safely(record({ ...where, do: act })))) return;
  form.reset();
  const select = form.elements.namedItem('card');
  if (select instanceof HTMLSelectElement) select.value = chosen;
}

// ---------------------------------------------------------------- photos

/** The photo that waits for its words. @type {Head|null} */
let held = null;

/** @param {string} car */
async function startPhotos(car) {
  for (const input of /** @type {HTMLInputElement[]} */ (all('[data-photo-input]'))) {
    input.addEventListener('change', async () => {
      const file = input.files?.[0];
      if (!file) return;
      try {
        await showHeld(await holdPhoto(file));
      } catch (error) {
        notSaved(error instanceof Error ? error.message : String(error));
      }
      input.value = '';
    });
  }
  const form = /** @type {HTMLFormElement} */ (one('form[data-photo-form]'));
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    const head = held;
    if (!head) return;
    held = null;
    const caption = text(form, 'caption');
    if (!(await safely(claimPhoto(head, { ...subject(form, car), caption })))) return;
    form.reset();
    await showNextHeld();
  });
  await showNextHeld();
}

/** Some browsers load the page again when the camera returns: what it had taken is still held. */
async function showNextHeld() {
  const [first] = await listPhotos('held').catch(() => []);
  if (first) return showHeld(first);
  reveal(one('[data-held]'), false);
  keepNext('finding', 'Keep the finding');
}

/** The one deed of the screen keeps what is being noted. @param {string} form @param {string} words */
function keepNext(form, words) {
  const button = one('[data-keep]');
  attr(button, 'form', form);
  say(button, words);
}

/** @param {Head} head */
async function showHeld(head) {
  held = head;
  const url = await photoUrl(head.sha256);
  const image = /** @type {HTMLImageElement} */ (one('[data-held-img]'));
  if (url) {
    image.onload = () => URL.revokeObjectURL(url);
    image.src = url;
  }
  const plate = one('[data-held]');
  reveal(plate, true);
  keepNext('photo', 'Keep the photo');
  plate.scrollIntoView({ block: 'start' });
}
