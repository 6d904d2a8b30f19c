// @ts-check
/**
 * What has come: things that are waited for, found by a number that is typed, scanned or read by the camera.
 */
import { all, onTap, pageJson } from '../lib/page.js';
import { count } from '../lib/when.js';
import { record } from '../outbox/record.js';
import { one, reveal, say, setMark } from '../ui/dom.js';
import { canScan, scan } from '../ui/scan.js';
import { notSaved, safely, startUnder } from '../ui/under.js';
import { openWork } from '../ui/work.js';
import { counts, found, many, movesByPart, rest, standing, written } from '../work/arrivals.js';

/** @typedef {import('../work/arrivals.js').Part & {id: string, unit: string, numbers: string[]}} Thing */

const STAGES = {
  wanted: 'Wanted',
  ordered: 'Ordered',
  here: 'Here',
  fitted: 'Fitted',
  'sent-back': 'Sent back',
};
const MARKS = { wanted: 'short', ordered: 'waiting', here: 'done', fitted: 'closed', 'sent-back': 'prev' };

/** @type {Map<string, Thing>} */
let things = new Map();
/** What is still to come of each part. @type {Map<string, string>} */
const still = new Map();
/** @type {AbortController|null} */
let scanning = null;

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  const { car } = page;
  things = new Map((pageJson('parts') ?? []).map((/** @type {Thing} */ part) => [part.id, part]));
  const seqs = new Map(
    (pageJson('ops') ?? []).map((/** @type {{id: string, seq: number}} */ op) => [op.id, op.seq]),
  );
  const line = /** @type {HTMLInputElement} */ (one('[data-line]'));
  document.addEventListener('submit', (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement)) return;
    if (form.hasAttribute('data-arrival')) arrival(event, form);
    if (form.hasAttribute('data-find-form')) {
      event.preventDefault();
      // A reader that types ends its line like this; the next line takes its place.
      look(line.value);
      line.select();
    }
  });
  line.addEventListener('input', () => look(line.value));
  onTap('[data-note-it]', () => void noteIt(line, car));
  onTap('[data-scan]', () => void read(line));
  onTap('[data-scan-end]', () => scanning?.abort());
  await startUnder(page);
  reveal(one('[data-scan]'), canScan());
  const work = await openWork(car);
  work.onChange(() => {
    const moves = movesByPart(work.records(), seqs);
    for (const row of all('[data-part]')) paint(row, moves.get(row.dataset.part ?? '') ?? []);
    look(line.value);
  });
}

/** @param {HTMLElement} row @param {[number|null, string, string][]} moves */
function paint(row, moves) {
  const part = things.get(row.dataset.part ?? '');
  if (!part) return;
  const { stage, here, fitted } = standing(part, moves);
  const known = /** @type {keyof typeof STAGES} */ (stage);
  const isHere = stage === 'here' || stage === 'fitted';
  setMark(one('.mark', one('[data-tag]', row)), MARKS[known]);
  say(one('[data-stage]', row), STAGES[known]);
  const some = here ?? fitted;
  const partly = one('[data-partly]', row);
  const figure = some && part.unit ? some.replace(` ${part.unit}`, '') : some;
  say(partly, some ? `${figure} of ${part.wanted} ${here ? 'here' : 'fitted'}` : '');
  reveal(partly, some !== null);
  reveal(one('[data-arrival]', row), !isHere);
  row.dataset.here = isHere ? '1' : '';
  const left = rest(part, here);
  if (still.get(part.id) === left) return;
  still.set(part.id, left);
  const field = row.querySelector('input[name="number"]');
  if (field instanceof HTMLInputElement) field.value = part.unit ? left.replace(` ${part.unit}`, '') : left;
}

/** @param {SubmitEvent} event @param {HTMLFormElement} form */
function arrival(event, form) {
  event.preventDefault();
  const data = new FormData(form);
  const part = things.get(String(data.get('part')));
  const field = /** @type {HTMLInputElement} */ (form.elements.namedItem('number'));
  if (!part) return;
  const typed = part.words ? part.wanted : `${field.value.trim()} ${part.unit}`.trim();
  if (!counts(typed, part)) {
    field.setCustomValidity('How many came? A number above zero.');
    field.reportValidity();
    field.addEventListener('input', () => field.setCustomValidity(''), { once: true });
    return;
  }
  const quantity = part.words ? typed : written(many(typed));
  void safely(record({ on: { part: part.id }, do: { arrival: { quantity } } }));
}

/** Shows the rows that a line means. @param {string} line */
function look(line) {
  const rows = all('[data-part]').map((row) => ({
    row,
    find: row.dataset.find ?? '',
    numbers: things.get(row.dataset.part ?? '')?.numbers ?? [],
  }));
  const meant = new Set(found(rows, line).map(({ row }) => row));
  for (const { row } of rows) reveal(row, meant.has(row));
  const waited = [...meant].filter((row) => !row.dataset.here).length;
  say(one('[data-found]'), `${count(waited, 'thing')} waited for${line.trim() ? ' by these words' : ''}`);
  reveal(one('[data-unknown]'), line.trim() !== '' && meant.size === 0);
  say(one('[data-unknown-line]'), line.trim());
}

/** @param {HTMLInputElement} line @param {string} car */
async function noteIt(line, car) {
  const text = `Came, and is on no list: ${line.value.trim()}`;
  if (!(await safely(record({ on: { car }, do: { note: { text } } })))) return;
  line.value = '';
  look('');
  reveal(one('[data-noted]'), true);
}

/** @param {HTMLInputElement} line */
async function read(line) {
  if (scanning) return;
  scanning = new AbortController();
  reveal(one('[data-camera]'), true);
  try {
    const number = await scan(/** @type {HTMLVideoElement} */ (one('[data-view]')), scanning.signal);
    if (number !== null) {
      line.value = number;
      look(number);
    }
  } catch {
    notSaved('The camera was not given: type the number instead.');
  }
  scanning = null;
  reveal(one('[data-camera]'), false);
}
