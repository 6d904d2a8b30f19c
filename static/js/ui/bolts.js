// @ts-check
/**
 * The bolt picture on a step: the next bolt lit, in a shape, a word and a number; and how far each stage has come.
 *
 * Markup: `templates/under/bolts.html`.
 *
 * @typedef {{stage: number, bolt: number, state: 'done'|'open', of: number, say: string}} Pressed
 */
import { all } from '../lib/page.js';
import { count, keyOf, stageName } from '../work/bolts.js';
import { attr, one, reveal, say } from './dom.js';

/** Presses nearer than this are one knuckle that bounced: no bolt is tightened in half a second. */
const BOUNCE_MS = 600;

export class BoltPanel {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    const { order = '', joints = '1', item = '', word = 'Bolt', jointWord = 'Joint' } = root.dataset;
    this.stages = all('[data-bolt-stage]', root);
    /** @type {import('../work/bolts.js').Joint} */
    this.joint = {
      order: order.split(' ').map(Number),
      stages: this.stages.length,
      joints: Number(joints),
    };
    this.item = item;
    /** `Bolt` or `Nut`, `Joint` or `Wheel`. */
    this.word = word;
    this.jointWord = jointWord;
    this.places = /** @type {SVGElement[]} */ ([...root.querySelectorAll('[data-place]')]);
    /** @type {Set<string>} */
    this.tight = new Set();
    this.count = count(this.joint, this.tight);
    this.pressed = -BOUNCE_MS;
    /** Until the operations have been read nobody can say which is next. */
    this.known = false;
    for (const form of all('[data-bolts-form]', root)) reveal(form, false);
  }

  get bolts() {
    return this.joint.order.length * this.joint.joints;
  }

  /** @param {Set<string>} tight */
  knows(tight) {
    this.known = true;
    this.tight = tight;
    this.count = count(this.joint, tight);
    this.paint();
  }

  paint() {
    const { next, by_stage } = this.count;
    const { order, stages, joints } = this.joint;
    const ofMore = (
      /** @type {string} */ what,
      /** @type {number|undefined} */ at,
      /** @type {number} */ of,
    ) => (at && of > 1 ? `${what} ${at} of ${of}` : '');
    const now = (/** @type {string} */ part, /** @type {string} */ words) =>
      say(one(`[data-bolts-now] [data-${part}]`, this.root), words);
    now('bolt', next ? `${this.word} ${next.turn} of ${order.length}` : `All ${this.bolts} tight`);
    now('stage', next ? ofMore('stage', next.stage, stages) : stages > 1 ? `in ${stages} stages` : '');
    now('say', next ? (this.stages[next.stage - 1].dataset.boltStage ?? '') : '');
    now('joint', ofMore(this.jointWord, next?.joint, joints));
    this.stages.forEach((stage, index) => {
      say(one('[data-tight]', stage), `${by_stage[index]} of ${this.bolts} tight`);
      attr(stage, 'aria-current', next?.stage === index + 1 ? 'step' : null);
    });
    this.light();
    reveal(one('[data-bolts-again]', this.root), this.count.tight > 0);
  }

  /** Half-way through the joint. */
  get isBegun() {
    return this.known && this.count.tight > 0 && this.count.next !== null;
  }

  /** What the button of the next one says. */
  get deed() {
    const { next } = this.count;
    return this.known && next ? `${this.word} ${next.turn} is tight` : `${this.word} is tight`;
  }

  /** Brings the line of the next bolt and the picture above the dock. */
  bringUp() {
    this.root.scrollIntoView({ block: 'start' });
  }

  light() {
    const { next } = this.count;
    for (const place of this.places) {
      const bolt = Number(place.dataset.place) + ((next?.joint ?? 1) - 1) * this.joint.order.length;
      const isTight = !next || this.tight.has(keyOf(next.stage, bolt));
      const state = bolt === next?.bolt ? 'next' : isTight ? 'done' : 'todo';
      if (place.dataset.state !== state) place.dataset.state = state;
      // A long row does not fit: what is next must be in sight.
      if (state === 'next') this.bringIntoSight(place);
    }
  }

  /** @param {SVGElement} place */
  bringIntoSight(place) {
    const paper = one('.bolts__picture', this.root);
    if (paper.scrollWidth <= paper.clientWidth) return;
    const [at, within] = [place.getBoundingClientRect(), paper.getBoundingClientRect()];
    paper.scrollLeft += at.left + at.width / 2 - within.left - within.width / 2;
  }

  /**
   * The press of the next bolt, or of the one before it; null when there is none, or the knuckle bounced.
   * @param {'done'|'open'} state
   * @param {number} time milliseconds
   */
  press(state, time) {
    const at = state === 'done' ? this.count.next : this.count.back;
    if (!at || !this.known || time - this.pressed < BOUNCE_MS) return null;
    this.pressed = time;
    return this.set(at.stage, at.bolt, state);
  }

  /** Every bolt that is tight, open again. */
  reset() {
    return [...this.tight].map((key) => {
      const [stage, bolt] = key.split(':').map(Number);
      return this.set(stage, bolt, 'open');
    });
  }

  /**
   * @param {number} stage
   * @param {number} bolt
   * @param {'done'|'open'} state
   * @returns {Pressed}
   */
  set(stage, bolt, state) {
    const tight = new Set(this.tight);
    if (state === 'done') tight.add(keyOf(stage, bolt));
    else tight.delete(keyOf(stage, bolt));
    this.knows(tight);
    return { stage, bolt, state, of: this.bolts, say: stageName(this.item, stage, this.joint.stages) };
  }
}

/** The panel of a step, where it has one. @param {HTMLElement} stage */
export function readPanel(stage) {
  const root = stage.querySelector('[data-bolts]');
  return root instanceof HTMLElement ? new BoltPanel(root) : null;
}
