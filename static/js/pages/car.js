// @ts-check
/**
 * A car on the phone: where the work stands, its cards, and the copy that is taken under the car.
 */
import { all, onTap, pageJson } from '../lib/page.js';
import { age, count, moment, size } from '../lib/when.js';
import { packOf, take } from '../pack/take.js';
import { paintCondition } from '../ui/condition.js';
import { attr, one, reveal, say } from '../ui/dom.js';
import { leftOff, placeUrl } from '../ui/left-off.js';
import { startUnder } from '../ui/under.js';
import { openWork } from '../ui/work.js';
import { doneOn } from '../work/condition.js';
import { fold } from '../work/fold.js';
import { ledger } from '../work/ledger.js';

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  await startUnder(page);
  offerHomeScreen();
  onTap('[data-take]', (button) => void takeUnder(page.car, /** @type {HTMLButtonElement} */ (button)));
  await paintCopy(page.car);
  await paintGoOn(page.car);
  const effects = pageJson('effects') ?? { steps: {} };
  const work = await openWork(page.car);
  work.onChange(() => {
    const records = work.records();
    paintCards(fold(records), ledger(records, effects), effects);
  });
}

/** Where the person left off comes first. @param {string} car */
async function paintGoOn(car) {
  const place = await leftOff(car);
  const link = document.querySelector('[data-go-on]');
  if (!place || !link || !document.querySelector(`[data-card-row="${place.card}"]`)) return;
  attr(link, 'href', placeUrl(car, place));
  say(link, place.view === 'list' ? `Go on: ${place.title}` : `Go on: step ${place.n} of ${place.title}`);
}

/**
 * @param {import('../work/fold.js').CarState} state
 * @param {import('../work/ledger.js').LooseEnd[]} ends
 * @param {import('../work/ledger.js').Effects} effects
 */
function paintCards(state, ends, effects) {
  for (const row of all('[data-card-row]')) {
    const done = doneOn(row.dataset.cardRow ?? '', state, ends, effects);
    const tag = one('[data-tag]', row);
    const steps = count(Number(tag.dataset.steps), 'step');
    say(one('[data-progress]', row), `${done.settled_steps} of ${steps} settled`);
    paintCondition(tag, done);
  }
  const words = ends.length ? count(ends.length, 'loose end') : 'No loose ends on record';
  for (const link of all('[data-loose-count]')) say(link, words);
}

// ---------------------------------------------------------------- the copy

/** @param {string} car */
async function paintCopy(car) {
  const pack = await packOf(car).catch(() => null);
  const kept = one('[data-kept-words]');
  if (!pack?.complete) return;
  say(
    one('[data-copy-words]'),
    `Whole, as of ${moment(pack.as_of)}, ${old(pack.as_of)}: ${count(pack.items, 'piece')}, ${size(pack.bytes)}.`,
  );
  say(one('[data-take]'), 'Bring the copy up to date');
  const granted = (await navigator.storage?.persisted?.().catch(() => null)) ?? pack.granted;
  say(kept, KEPT[String(granted)]);
  reveal(kept, true);
}

/** @param {number} at */
function old(at) {
  const words = age(at);
  return words === 'now' ? 'just now' : `${words} old`;
}

/** @type {Record<string, string>} */
const KEPT = {
  true: 'The browser has promised to keep it.',
  false: 'The browser has not promised to keep it: it may throw it away when the phone is short of room.',
  null: 'This browser does not say whether it keeps it.',
};

/** @param {string} car @param {HTMLButtonElement} button */
async function takeUnder(car, button) {
  const trouble = one('[data-take-trouble]');
  const progress = one('[data-take-progress]');
  reveal(trouble, false);
  button.disabled = true;
  say(one('[data-count]', progress), 'asking what there is');
  reveal(progress, true);
  try {
    await take(car, (so) => paintProgress(progress, so));
    say(one('[data-detail]', progress), 'Whole. You can go under.');
  } catch (error) {
    say(trouble, error instanceof Error ? error.message : String(error));
    reveal(trouble, true);
  }
  button.disabled = false;
  await paintCopy(car);
}

/** @param {HTMLElement} progress @param {import('../pack/take.js').Progress} so */
function paintProgress(progress, { done, total, bytes, bytesTotal }) {
  say(one('[data-count]', progress), `${done} of ${total}`);
  const bar = /** @type {HTMLProgressElement} */ (one('progress', progress));
  bar.max = total;
  bar.value = done;
  say(
    one('[data-detail]', progress),
    `${size(bytes)} of ${size(bytesTotal)}. Stay in reach until it says whole.`,
  );
}

// ---------------------------------------------------------------- the home screen

function offerHomeScreen() {
  const installed = matchMedia('(display-mode: standalone)').matches;
  reveal(one('[data-home-hint]'), !installed);
  addEventListener('beforeinstallprompt', (event) => {
    event.preventDefault();
    const button = one('[data-install]');
    reveal(button, true);
    reveal(one('[data-home-hint]'), false);
    button.onclick = () => void (/** @type {any} */ (event).prompt());
  });
}
