// @ts-check
/**
 * The road check: items by phase, each answered on its own, offline.
 */
import { onTap, pageJson } from '../lib/page.js';
import { moment } from '../lib/when.js';
import { record } from '../outbox/record.js';
import { attr, fresh, one, reveal, say } from '../ui/dom.js';
import { text } from '../ui/form-draft.js';
import { safely, startUnder } from '../ui/under.js';
import { MARK_WORDS } from '../ui/words.js';
import { openWork } from '../ui/work.js';
import { ledger } from '../work/ledger.js';
import { roadCheck } from '../work/road.js';

/** @typedef {import('../work/road.js').RoadItem} RoadItem */
/** @typedef {import('../work/ledger.js').LooseEnd} LooseEnd */

const SEEN = { holds: 'Holds', fails: 'Does not hold', 'not-looked': 'Not looked at' };

/** @type {Map<string, RoadItem>} */
let asked = new Map();

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  const { car } = page;
  document.addEventListener('submit', (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement)) return;
    if (form.hasAttribute('data-answer')) answer(event, form, car);
    if (form.hasAttribute('data-finding')) finding(event, form, car);
  });
  onTap('[data-next][href="#phases"]', (_, event) => goOn(event));
  await startUnder(page);
  const effects = pageJson('effects') ?? { steps: {} };
  const road = pageJson('road') ?? { phases: [], items: [], steps: {} };
  const work = await openWork(car);
  work.onChange(() => {
    const records = work.records();
    const items = roadCheck(records, road);
    asked = new Map(items.map((item) => [item.key, item]));
    paint(road, items, ledger(records, effects));
  });
}

/** @param {SubmitEvent} event @param {HTMLFormElement} form @param {string} car */
function answer(event, form, car) {
  event.preventDefault();
  const seen = /** @type {keyof typeof SEEN} */ (event.submitter?.getAttribute('value') ?? 'not-looked');
  const item = asked.get(text(form, 'item'));
  if (!item) return;
  const body = { item: item.key, say: item.say, seen, note: '' };
  void safely(record({ on: { car }, do: { road: body } }));
}

/** @param {SubmitEvent} event @param {HTMLFormElement} form @param {string} car */
async function finding(event, form, car) {
  event.preventDefault();
  const words = text(form, 'text');
  if (!words) return;
  const weight = /** @type {'fine'|'watch'|'act'|'unknown'} */ (text(form, 'weight') || 'unknown');
  const saved = await safely(record({ on: { car }, do: { finding: { text: words, where: '', weight } } }));
  if (!saved) return;
  form.closest('details')?.removeAttribute('open');
  const fold = form.closest('[data-find]')?.querySelector('summary');
  if (fold) say(fold, 'Finding kept. Note another');
}

/** @param {import('../work/road.js').Road} road @param {RoadItem[]} items @param {LooseEnd[]} ends */
function paint(road, items, ends) {
  const due = items.filter((item) => item.due).length;
  say(one('[data-title]'), `Road check: ${due} due`);
  reveal(one('[data-blocked]'), ends.length > 0);
  const names = one('[data-blocked-by]');
  const words = ends.map((end) => (end.where ? `${end.words} (${end.where})` : end.words));
  if ([...names.children].map((one) => one.textContent).join('\n') !== words.join('\n')) {
    names.replaceChildren(
      ...words.map((said) => {
        const line = document.createElement('li');
        line.textContent = said;
        return line;
      }),
    );
  }
  reveal(one('[data-nothing]'), items.length === 0);
  paintPhases(road, items, ends.length > 0);
  const next = one('[data-next]');
  const [said, href] = whereNext(ends.length, due);
  say(next, said);
  attr(next, 'href', href);
}

/** The one thing to do now: words and address. @param {number} loose @param {number} due */
function whereNext(loose, due) {
  const car = `/under/${document.body.dataset.car}`;
  if (loose) return ['To the loose ends', `${car}/loose`];
  return due ? ['Next that is due', '#phases'] : ['To the job cards', car];
}

/** On to the next item that is due and was not answered. @param {Event} event */
function goOn(event) {
  const open = [...asked.values()].filter(({ due, answer: given }) => due && !given);
  const row = document.querySelector(`[data-item="${CSS.escape(open[0]?.key ?? '')}"]`);
  if (!row) return;
  event.preventDefault();
  row.scrollIntoView({ block: 'center' });
}

/** @param {import('../work/road.js').Road} road @param {RoadItem[]} items @param {boolean} blocked */
function paintPhases(road, items, blocked) {
  const list = one('[data-phases]');
  for (const [code, label] of road.phases) {
    const here = items.filter(({ phase }) => phase === code);
    const section = list.querySelector(`[data-phase="${code}"]`) ?? phase(list, code, label);
    reveal(/** @type {HTMLElement} */ (section), here.length > 0);
    say(one('[data-phase-due]', section), `${here.filter(({ due }) => due).length} due`);
    paintPhase(one('ul', section), here, blocked);
  }
}

/** @param {HTMLElement} list @param {string} code @param {string} label */
function phase(list, code, label) {
  const drawn = fresh('phase');
  drawn.dataset.phase = code;
  attr(drawn, 'aria-label', label);
  say(one('[data-phase-label]', drawn), label);
  list.append(drawn);
  return drawn;
}

/** @param {HTMLElement} list @param {RoadItem[]} items @param {boolean} blocked */
function paintPhase(list, items, blocked) {
  const known = new Map([...list.children].map((row) => [row.getAttribute('data-item'), row]));
  const rows = items.map((item) => /** @type {HTMLElement} */ (known.get(item.key) ?? draw(item)));
  if (rows.length !== list.children.length || rows.some((row, at) => list.children[at] !== row)) {
    list.replaceChildren(...rows);
  }
  for (const [at, item] of items.entries()) paintItem(rows[at], item, blocked);
}

/** @param {RoadItem} item */
function draw({ key, say: words }) {
  const drawn = fresh('item');
  attr(drawn, 'data-item', key);
  say(one('.road__say', drawn), words);
  const field = drawn.querySelector('input[name="item"]');
  if (field instanceof HTMLInputElement) field.value = key;
  const finding = drawn.querySelector('textarea');
  if (finding) finding.defaultValue = `Road check, does not hold: ${words}`;
  return drawn;
}

/** @param {HTMLElement} row @param {RoadItem} item @param {boolean} blocked */
function paintItem(row, { due, answer: given }, blocked) {
  attr(row, 'data-due', due ? '1' : '');
  const seen = /** @type {keyof typeof SEEN|undefined} */ (given?.body.seen);
  const how = given && seen ? `${SEEN[seen]}, ${moment(given.when)}, ${MARK_WORDS[given.mark]}` : 'Due';
  say(one('[data-how]', row), how);
  reveal(one('[data-answer]', row), !blocked);
  for (const button of row.querySelectorAll('button[name="seen"]')) {
    attr(button, 'aria-pressed', button.getAttribute('value') === seen ? 'true' : 'false');
  }
  reveal(one('[data-find]', row), seen === 'fails');
}
