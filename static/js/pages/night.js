// @ts-check
/**
 * Leaving the car for the night: what is said follows from the facts, by the lines which the server wrote into the page.
 */
import { all, pageJson } from '../lib/page.js';
import { moment } from '../lib/when.js';
import { addPhoto } from '../outbox/photos.js';
import { record } from '../outbox/record.js';
import { fresh, one, reveal, say } from '../ui/dom.js';
import { text } from '../ui/form-draft.js';
import { paintItems } from '../ui/items.js';
import { notSaved, safely, startUnder } from '../ui/under.js';
import { openWork } from '../ui/work.js';
import { fold } from '../work/fold.js';
import { broken, trueNow } from '../work/state.js';

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  const { car } = page;
  const form = /** @type {HTMLFormElement} */ (one('form[data-night]'));
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    void leave(form, car);
  });
  document.addEventListener('change', (event) => {
    const input = event.target;
    if (input instanceof HTMLInputElement && 'photoInput' in input.dataset) void photo(input, car);
  });
  await startUnder(page);
  const effects = pageJson('effects') ?? { steps: {} };
  const lines = pageJson('night') ?? { state: [], cautions: [], photos: [] };
  const field = /** @type {HTMLTextAreaElement} */ (one('#f-text', form));
  let drawn = field.value;
  const opened = Date.now();
  const work = await openWork(car);
  work.onChange(() => {
    const records = work.records();
    const facts = trueNow(records, effects);
    const sentences = broken(facts, lines.state).map((line) => line.say);
    paintSentences(sentences);
    paintCautions(broken(facts, lines.cautions));
    paintWanted(broken(facts, lines.photos).map((line) => line.say));
    // What somebody has typed stays.
    if (field.value === drawn) {
      drawn = sentences.join(' ');
      field.value = drawn;
    }
    const state = fold(records);
    const taken = (state.photos.get(car) ?? []).filter(({ when }) => when >= opened);
    paintItems(one('[data-taken]'), [...taken].reverse());
    const last = state.nights.filter((item) => item.mark !== 'refused').at(-1);
    if (last) say(one('[data-last-words]'), `${moment(last.when)}. ${last.body.text}`);
    reveal(one('[data-last]'), last !== undefined);
  });
}

/** @param {HTMLFormElement} form @param {string} car */
async function leave(form, car) {
  const words = text(form, 'text');
  if (words) await safely(record({ on: { car }, do: { night: { text: words } } }));
}

/** @param {HTMLInputElement} input @param {string} car */
async function photo(input, car) {
  const file = input.files?.[0];
  if (!file) return;
  const caption = input.closest('[data-photo-of]')?.getAttribute('data-photo-of') ?? '';
  const how = one('[data-photo-how]');
  say(how, 'Keeping the photo …');
  reveal(how, true);
  try {
    await addPhoto(file, { on: { car }, caption });
  } catch (error) {
    notSaved(error instanceof Error ? error.message : String(error));
  }
  reveal(how, false);
  input.value = '';
}

/** @param {HTMLElement} list @param {string} words whether it already says so; else it is to be drawn */
function says(list, words) {
  if (list.dataset.said === words) return true;
  list.dataset.said = words;
  return false;
}

/** @param {string[]} sentences */
function paintSentences(sentences) {
  const list = one('[data-sentences]');
  if (says(list, sentences.join('\n'))) return;
  list.replaceChildren(
    ...sentences.map((words) => {
      const item = document.createElement('li');
      item.textContent = words;
      return item;
    }),
  );
}

/** @param {import('../work/state.js').Broken[]} cautions */
function paintCautions(cautions) {
  const list = one('[data-cautions]');
  if (says(list, JSON.stringify(cautions))) return;
  list.replaceChildren(
    ...cautions.map(({ say: harm, mend }) => {
      const drawn = fresh('caution');
      drawn.append(` ${harm} ${mend}`);
      return drawn;
    }),
  );
}

/** @param {string[]} wanted */
function paintWanted(wanted) {
  const list = one('[data-wanted]');
  if (says(list, wanted.join('\n'))) return;
  list.replaceChildren(
    ...wanted.map((words) => {
      const drawn = fresh('wanted');
      say(one('[data-caption]', drawn), words);
      one('[data-photo-of]', drawn).dataset.photoOf = words;
      for (const button of all('[data-script]', drawn)) reveal(button, true);
      return drawn;
    }),
  );
}
