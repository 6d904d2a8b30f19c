// @ts-check
/**
 * A card's steps on the page: each as a row of the list, as a graduation of the rule, and as a plate of its own. Paints what a
 * tick changes, and no more than that: a tap must be seen at once on a slow phone.
 *
 * @typedef {'done'|'skipped'|'open'} TickState
 * @typedef {{state: TickState, when: number, item: import('./marker.js').Marked|null}} Tick
 *
 * @typedef {object} Step
 * @property {string} id
 * @property {number} n from 1
 * @property {HTMLElement} stage
 * @property {HTMLElement} row
 * @property {HTMLElement} graduation
 * @property {Tick} tick
 * @property {import('./bolts.js').BoltPanel|null} bolts the counter of a step that tightens by a picture
 * @property {string} drawn what was painted last
 */
import { all } from '../lib/page.js';
import { moment } from '../lib/when.js';
import { readPanel } from './bolts.js';
import { attr, one, reveal, say, setMark } from './dom.js';
import { isOurs, markerWords } from './marker.js';

/** @type {Record<TickState, string>} */
const MARKS = { open: 'todo', done: 'done', skipped: 'skip' };

/**
 * The steps as the server drew them.
 * @param {ParentNode} root
 * @returns {Step[]}
 */
export function readSteps(root) {
  const graduations = all('[data-ruler] > li', root);
  for (const graduation of graduations) attr(graduation, 'aria-current', null);
  return all('[data-step]', root).map((stage, index) => ({
    id: stage.dataset.step ?? '',
    n: index + 1,
    stage,
    row: one(`[data-row="${stage.dataset.step}"]`, root),
    graduation: graduations[index],
    tick: { state: 'open', when: 0, item: null },
    bolts: readPanel(stage),
    drawn: '',
  }));
}

/** The first step that nobody has settled. @param {Step[]} steps */
export function firstOpen(steps) {
  return steps.find(({ tick }) => tick.state === 'open') ?? null;
}

/** @param {Tick} tick */
function tickWords({ state, when }) {
  if (state === 'open') return '';
  return `${state === 'done' ? 'Done' : 'Skipped'} ${moment(when)}`;
}

/**
 * @param {Step} step
 * @param {Step|null} now the step that is next
 */
export function paintStep(step, now) {
  const { state, item } = step.tick;
  const shape = state === 'done' ? 'done' : state === 'skipped' ? 'skip' : step === now ? 'now' : 'todo';
  const words = tickWords(step.tick);
  const waits = state !== 'open' && item !== null && isOurs(item) ? markerWords(item) : '';
  const drawn = [shape, words, waits, step.bolts?.count.next ? 'bolts' : ''].join('|');
  if (step.drawn === drawn) return;
  step.drawn = drawn;
  paintRow(step, shape, words, waits);
  paintStage(step, waits);
  attr(step.graduation, 'data-state', shape === 'now' ? 'todo' : shape);
}

/** @param {Step} step @param {string} shape @param {string} words @param {string} waits */
function paintRow({ row }, shape, words, waits) {
  attr(row, 'class', `row row--${shape}`);
  attr(row, 'aria-current', shape === 'now' ? 'step' : null);
  setMark(one('[data-row-mark]', row), shape);
  say(one('[data-row-word]', row), words || (shape === 'now' ? 'This is the step now' : 'To do'));
  const marker = one('[data-row-waits]', row);
  reveal(marker, waits !== '' && waits !== 'sent');
}

/**
 * Paints the line that says whether a step is done, and nothing else: what a tap shows in its own frame.
 * @param {Step} step
 */
export function paintTicked(step) {
  const { stage, tick } = step;
  attr(stage, 'data-tick', tick.state);
  setMark(one('[data-ticked-mark]', stage), MARKS[tick.state]);
  // The line is always there, so that nothing below it moves when it is ticked.
  say(one('[data-ticked-words]', stage), tickWords(tick) || 'Not done yet');
}

/** @param {Step} step @param {string} waits */
function paintStage(step, waits) {
  const { stage, tick, bolts: stepBolts } = step;
  paintTicked(step);
  reveal(one('[data-ticked-waits]', stage), waits !== '');
  say(one('[data-ticked-how]', stage), waits);
  // Where bolts are counted, the deed of the screen is the next bolt, and the tick stands below.
  reveal(
    one('[data-act="done"]', stage),
    tick.state === 'open' && stepBolts !== null && stepBolts.count.next !== null,
  );
  reveal(one('[data-act="skipped"]', stage), tick.state === 'open');
  reveal(one('[data-act="open"]', stage), tick.state !== 'open');
}
