// @ts-check
/**
 * What waits to be sent, what needs a look, and the ways out: send now, a report to copy, a file of what is unsent.
 *
 * @typedef {import('../work/op.js').Rec} Rec
 */
import { hear } from '../lib/bus.js';
import { onTap, pageJson } from '../lib/page.js';
import { count, moment, size } from '../lib/when.js';
import { listPhotos, tryPhotoAgain } from '../outbox/photos.js';
import { importUnsent, saveUnsent, syncReport } from '../outbox/report.js';
import { listKept, listRefused, listWaiting, putAside, tryAgain } from '../outbox/waiting.js';
import { attr, fresh, one, reveal, say, setMark } from '../ui/dom.js';
import { noteWords } from '../ui/items.js';
import { startUnder } from '../ui/under.js';
import { bodyOf, kindOf, subjectOf } from '../work/op.js';

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  await startUnder(page);
  onTap('[data-again]', (button) => void tryAgainAt(button));
  onTap('[data-aside]', (button) => void putAside(idAt(button)));
  onTap('[data-copy-report]', () => void copyReport(page.build));
  onTap(
    '[data-save-file]',
    () => void saveUnsent().then(() => tellUser('The file is in your downloads.'), failed),
  );
  one('[data-read-file]').addEventListener('change', (event) => void readFile(event));
  hear('changed', () => void paint());
  hear('outbox', () => void paint());
  await paint();
}

// ---------------------------------------------------------------- lists

let painting = false;
let again = false;

async function paint() {
  if (painting) {
    again = true;
    return;
  }
  painting = true;
  const [waiting, photos, refused, refusedPhotos, kept] = await Promise.all([
    listWaiting(),
    listPhotos('waiting'),
    listRefused(),
    listPhotos('refused'),
    listKept(),
  ]);
  const waits = [...waiting.map((record) => row(record)), ...photos.map(photoRow)];
  const look = [...refused.map((record) => row(record, 'refused')), ...refusedPhotos.map(refusedPhotoRow)];
  fill('[data-waits]', waits);
  fill('[data-refused]', look);
  fill(
    '[data-kept-list]',
    kept.map((record) => row(record, 'kept')),
  );
  say(one('[data-waits-count]'), waits.length ? String(waits.length) : '');
  reveal(one('[data-nothing-waits]'), waits.length === 0);
  reveal(one('[data-look]'), look.length > 0);
  reveal(one('[data-kept-plate]'), kept.length > 0);
  painting = false;
  if (!again) return;
  again = false;
  await paint();
}

/** Rows are drawn anew only when they differ: a button must not vanish under a finger. @param {string} selector @param {HTMLElement[]} rows */
function fill(selector, rows) {
  const list = one(selector);
  const text = rows
    .map((drawn) => `${drawn.dataset.id ?? drawn.dataset.sha} ${drawn.textContent}`)
    .join('\n');
  if (shown.get(list) === text) return;
  shown.set(list, text);
  list.replaceChildren(...rows);
}

/** What each list shows. @type {WeakMap<HTMLElement, string>} */
const shown = new WeakMap();

/** @param {Rec} record @param {'refused'|'kept'} [how] */
function row(record, how) {
  const drawn = fresh('op');
  attr(drawn, 'data-id', record.id);
  say(one('[data-words]', drawn), recordWords(record));
  say(one('[data-more]', drawn), `noted ${moment(record.saved_at)}`);
  if (!how) return drawn;
  setMark(one('.mark', drawn), how === 'refused' ? 'refused' : 'note');
  say(one('[data-say]', drawn), record.verdict?.say ?? '');
  reveal(one('[data-say]', drawn), Boolean(record.verdict?.say));
  reveal(one('[data-deeds]', drawn), true);
  reveal(one('[data-again]', drawn), how === 'refused');
  return drawn;
}

/** @param {import('../lib/db.js').Head} head */
function photoRow({ sha256, bytes, offset, saved_at }) {
  const drawn = fresh('op');
  attr(drawn, 'data-sha', sha256);
  say(one('[data-words]', drawn), `A photo, ${size(bytes)}`);
  const sent = offset ? `${Math.floor((offset / bytes) * 100)} % sent · ` : '';
  say(one('[data-more]', drawn), `${sent}taken ${moment(saved_at)}`);
  return drawn;
}

/** @param {import('../lib/db.js').Head} head */
function refusedPhotoRow(head) {
  const drawn = photoRow(head);
  setMark(one('.mark', drawn), 'refused');
  say(one('[data-say]', drawn), head.say ?? '');
  reveal(one('[data-say]', drawn), Boolean(head.say));
  reveal(one('[data-deeds]', drawn), true);
  reveal(one('[data-aside]', drawn), false);
  return drawn;
}

/** @type {Record<string, string>} */
const TICKS = { done: 'Done', skipped: 'Skipped', open: 'Undone' };

/** @type {Record<string, {card: string, words: string, n: number}>|null} */
let names = null;

/** An operation in words. @param {Rec} record */
function recordWords({ op }) {
  const [kind, body] = [kindOf(op), bodyOf(op)];
  switch (kind) {
    case 'tick':
      return `${TICKS[body.state] ?? body.state}: ${subjectWords(op)}`;
    case 'note':
      return `Note: ${body.text}`;
    case 'recheck':
      return `Looked at again: ${body.text}`;
    case 'finding':
      return `Finding: ${body.text}`;
    case 'photo':
      return body.caption ? `Photo: ${body.caption}` : `Photo on ${subjectWords(op)}`;
    case 'undid':
      return `Loose end: ${body.what}`;
    case 'closed':
      return `Loose end closed by hand: ${closedWords(body.key)}`;
    case 'went-on':
      return `Went on past a guard: ${body.why}`;
    case 'road':
      return `Road check: ${body.say}`;
    case 'night':
      return `Left for the night: ${body.text}`;
    case 'bolt':
      return `${body.say}: bolt at place ${body.bolt} ${body.state === 'done' ? 'is tight' : 'is open again'}`;
    case 'settled':
      return body.on ? `Settled on ${body.say}` : 'Opened a question again';
    case 'survey':
      return `Survey: ${body.say}`;
    case 'dealt':
      return `Dealt with: ${body.say}`;
    case 'serviced':
      return `Upkeep: ${body.say}, ${body.state === 'done' ? 'done' : 'not done after all'}`;
    case 'clip':
      return `Clip of sound: ${body.caption}`;
    case 'part-used':
      return `Part used: ${body.quantity}`;
    case 'arrival':
      return `Part arrived: ${body.quantity}`;
    case 'time':
      return `Time: ${count(body.minutes, 'minute')}`;
    case 'reading':
    case 'odometer':
    case 'fluid-look':
    case 'correction':
    case 'symptom':
      return noteWords(kind, body);
  }
}

/** `fluid:engine oil` names a thing; `hand:` is followed by an id. @param {string} key */
function closedWords(key) {
  return key.startsWith('hand:') ? 'one that was added by hand' : key.replace(/^[^:]*:/, '');
}

/** @param {import('../work/op.js').Op} op */
function subjectWords(op) {
  names ??= /** @type {Record<string, {card: string, words: string, n: number}>} */ (pageJson('names') ?? {});
  const step = names[subjectOf(op)];
  if (step) return `step ${step.n} of ${step.card}, ${step.words}`;
  return 'step' in op.on ? 'a step' : 'card' in op.on ? 'a card' : 'the car';
}

// ---------------------------------------------------------------- deeds

/** @param {HTMLElement} button */
function idAt(button) {
  return button.closest('[data-id]')?.getAttribute('data-id') ?? '';
}

/** @param {HTMLElement} button */
async function tryAgainAt(button) {
  const sha = button.closest('[data-sha]')?.getAttribute('data-sha');
  await (sha ? tryPhotoAgain(sha) : tryAgain(idAt(button)));
  await paint();
}

/** @param {string} words */
function tellUser(words) {
  say(one('[data-said]'), words);
}

/** @param {unknown} error */
function failed(error) {
  tellUser(error instanceof Error ? error.message : String(error));
}

/** @param {string} build */
async function copyReport(build) {
  const field = /** @type {HTMLTextAreaElement} */ (one('[data-report]'));
  field.value = await syncReport(build);
  reveal(field, true);
  try {
    await navigator.clipboard.writeText(field.value);
    tellUser('The report is copied. None of your words are in it.');
  } catch {
    field.select();
    tellUser('Copy the report from the field below. None of your words are in it.');
  }
}

/** @param {Event} event */
async function readFile(event) {
  const input = /** @type {HTMLInputElement} */ (event.target);
  const file = input.files?.[0];
  if (!file) return;
  try {
    const { ops, photos, had, damaged } = await importUnsent(file);
    const lost = damaged ? ` ${count(damaged, 'photo')} in it cannot be read.` : '';
    tellUser(
      `Read in: ${count(ops, 'entry', 'entries')}, ${count(photos, 'photo')}; ${had} were here already.${lost}`,
    );
  } catch (error) {
    failed(error);
  }
  input.value = '';
}
