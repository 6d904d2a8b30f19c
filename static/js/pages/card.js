// @ts-check
/**
 * A job card: one step at a time, or the list. Which of them, and where, is remembered on this phone and named by the
 * address (`#step-9`, `#list`).
 *
 * A tick is painted in the same turn as the tap and stored at once; everything else is painted after that frame, what it
 * changes for other steps too.
 */
import { all, onTap, pageJson } from '../lib/page.js';
import { deviceId } from '../outbox/clock.js';
import { addPhoto } from '../outbox/photos.js';
import { record } from '../outbox/record.js';
import { paintCondition } from '../ui/condition.js';
import { attr, one, reveal, say } from '../ui/dom.js';
import { keepDraft, number, text } from '../ui/form-draft.js';
import { GuardScreen, paintStrip } from '../ui/guards.js';
import { watchHelpers } from '../ui/helpers.js';
import { itemsOn, paintItems } from '../ui/items.js';
import { leaveOff, leftOff } from '../ui/left-off.js';
import { hush, say as sayStep, startVoice } from '../ui/speak.js';
import { firstOpen, paintStep, paintTicked, readSteps } from '../ui/steps.js';
import { notSaved, safely, startUnder } from '../ui/under.js';
import { watchVerdicts } from '../ui/verdict.js';
import { keepAwake } from '../ui/wake-lock.js';
import { afterFrame, openWork } from '../ui/work.js';
import { BOLTS_LEFT, leftGuard, tightAt } from '../work/bolts.js';
import { doneOn } from '../work/condition.js';
import { fold } from '../work/fold.js';
import { guards, stopping, wentOn } from '../work/guard.js';
import { ledger } from '../work/ledger.js';
import { trueNow } from '../work/state.js';

/** @typedef {import('../ui/steps.js').Step} Step */
/** @typedef {import('../ui/steps.js').TickState} TickState */

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  const root = one('[data-card]');
  const card = new Card(page.car, root);
  card.listen();
  const place = await leftOff(page.car, card.id).catch(() => null);
  card.go(place);
  await startUnder(page);
  watchHelpers(card.id);
  const work = await openWork(page.car);
  const effects = pageJson('effects') ?? { steps: {} };
  const verdicts = watchVerdicts(root);
  work.onChange(() => {
    const records = work.records();
    verdicts.knows(records);
    const state = fold(records.filter((known) => known.card === card.id));
    card.knows(state, trueNow(records, effects), effects);
    card.paint(state, doneOn(card.id, state, ledger(records, effects), effects));
  });
  if (card.steps.length) card.saysEach = (await startVoice()).each;
  await keepAwake();
}

/** What clickers for presentations send, and the arrows. @type {Record<string, number>} */
const MOVES = { PageDown: 1, ArrowRight: 1, PageUp: -1, ArrowLeft: -1 };

class Card {
  /** @param {string} car @param {HTMLElement} root */
  constructor(car, root) {
    this.car = car;
    this.root = root;
    this.id = root.dataset.card ?? '';
    this.title = one('h1', root).textContent?.trim() ?? '';
    this.steps = readSteps(root);
    /** @type {Step|null} */
    this.at = null;
    /** The large button; a card without steps has none. */
    this.deed = this.steps.length ? one('[data-primary]') : root;
    /** Where it is looked at again after the drive; null on a card without steps. */
    this.recheck = this.steps.length ? one('[data-recheck]', root) : null;
    /** What stands in the way of a step; unknown until the operations have been read. @type {(step: Step) => import('../work/guard.js').Guard[]} */
    this.guards = () => [];
    /** @type {(step: Step) => import('../work/fold.js').Item[]} */
    this.passed = () => [];
    /** What is to be ticked when the guards are gone past. @type {Step|null} */
    this.waiting = null;
    /** Whether the guards are shown because a step is being ticked. */
    this.ticking = false;
    /** Rules that were shown on the whole screen already, by step: a warning is, once. @type {Set<string>} */
    this.warned = new Set();
    this.screen = this.steps.length ? new GuardScreen((why, all) => this.goOn(why, all)) : null;
    /** Whether each step is said as it is come to. */
    this.saysEach = () => false;
    /** Everything is settled and nothing of it loose. */
    this.closed = this.recheck?.hidden === false;
    for (const step of this.steps) {
      step.tick = {
        state: /** @type {TickState} */ (step.stage.dataset.tick ?? 'open'),
        when: 0,
        item: null,
      };
    }
  }

  // ------------------------------------------------------------ where we are

  /** To where the address says, else to where it was left, else to the first open step. @param {import('../ui/left-off.js').Place|null} place */
  go(place) {
    if (this.steps.length === 0) return;
    const named = /^#step-(\d+)$/.exec(location.hash);
    // A card that was only looked through begins at its beginning.
    const begun = this.steps.some(({ tick }) => tick.state !== 'open');
    const left = begun ? this.steps.find(({ id }) => id === place?.step) : null;
    const step = this.steps[Number(named?.[1]) - 1] ?? left ?? null;
    if (location.hash === '#list' || (!named && place?.view === 'list')) return this.showList();
    const chosen = step ?? firstOpen(this.steps);
    if (chosen) this.showStep(chosen);
    else this.showList();
  }

  /** @param {Step} step */
  showStep(step) {
    const before = this.at;
    this.at = step;
    if (before !== step) {
      this.screen?.close();
      hush();
      if (before && this.saysEach()) sayStep(step.stage);
    }
    if (this.root.dataset.view !== 'step') {
      for (const other of this.steps) other.stage.hidden = other !== step;
      one('[data-list]', this.root).hidden = true;
      this.root.dataset.view = 'step';
      this.showRecheck();
    } else if (before && before !== step) {
      before.stage.hidden = true;
      step.stage.hidden = false;
    }
    for (const { graduation } of [before, step].filter((known) => known !== null)) {
      attr(graduation, 'aria-current', graduation === step.graduation ? 'step' : null);
    }
    this.paintDeed();
    this.meet();
    this.arrive('step', `#step-${step.n}`);
  }

  showList() {
    this.screen?.close();
    for (const { stage } of this.steps) stage.hidden = true;
    one('[data-list]', this.root).hidden = false;
    this.root.dataset.view = 'list';
    this.at ??= firstOpen(this.steps) ?? this.steps[0];
    this.showDeed('list');
    this.showRecheck();
    this.paintCount();
    this.arrive('list', '#list');
    if (this.at) this.at.row.scrollIntoView({ block: 'center' });
  }

  /** @param {'step'|'list'} view @param {string} hash */
  arrive(view, hash) {
    scrollTo(0, 0);
    // Half-way through a joint, what is next comes before what was read at its beginning.
    if (view === 'step') this.bringUp();
    const { at } = this;
    afterFrame(() => {
      // Meanwhile the person may have gone on.
      if (this.root.dataset.view !== view || this.at !== at) return;
      if (location.hash !== hash) history.replaceState(history.state, '', hash);
      if (!at) return;
      leaveOff(this.car, { card: this.id, title: this.title, view, step: at.id, n: at.n }).catch(() => {});
    });
  }

  /** @param {string} view */
  showDeed(view) {
    for (const deed of all('[data-deed]')) reveal(deed, deed.dataset.deed === view);
  }

  showRecheck() {
    for (const part of [this.recheck, this.root.querySelector('[data-to-road]')]) {
      if (part instanceof HTMLElement) reveal(part, this.closed && this.root.dataset.view === 'list');
    }
  }

  /** @param {number} by */
  move(by) {
    const next = this.at ? this.steps[this.at.n - 1 + by] : null;
    if (next) this.showStep(next);
  }

  // ------------------------------------------------------------ painting

  /** @param {import('../work/fold.js').CarState} state @param {import('../work/condition.js').Done} done */
  paint(state, done) {
    for (const step of this.steps) {
      step.bolts?.knows(tightAt(state, step.id));
      const last = state.ticks.get(step.id)?.last;
      step.tick = last
        ? { state: last.body.state, when: last.when, item: last }
        : { state: 'open', when: 0, item: null };
    }
    this.paintSteps();
    for (const list of all('[data-items]', this.root))
      paintItems(list, itemsOn(state, list.dataset.items ?? ''));
    if (!this.recheck) return;
    const found = paintCondition(one('[data-tag]', this.root), done);
    this.closed = found === 'closed-up' || found === 'proven';
    this.showRecheck();
    const rechecks = state.rechecks.get(this.id)?.history ?? [];
    paintItems(one('[data-rechecks]', this.recheck), [...rechecks].reverse());
  }

  paintSteps() {
    const now = firstOpen(this.steps);
    for (const step of this.steps) {
      paintStep(step, now);
      // A step that comes later may yet be made ready by those before it.
      paintStrip(one('[data-strip]', step.stage), step === now ? this.guards(step) : [], this.passed(step));
    }
    if (this.root.dataset.view === 'list') this.paintCount();
    this.paintDeed();
  }

  paintCount() {
    const settled = this.steps.filter(({ tick }) => tick.state !== 'open').length;
    say(one('[data-count]', this.root), `${settled} of ${this.steps.length} settled`);
  }

  /**
   * Why an open step is not offered as the plain next thing to do: out of turn, lacking a part, or with a guard against it.
   * @param {Step} step
   */
  doubt(step) {
    if (this.steps.slice(0, step.n - 1).some(({ tick }) => tick.state === 'open')) return 'Done out of turn';
    return 'lacksPart' in step.stage.dataset || this.guards(step).length ? 'Done all the same' : '';
  }

  /** What the large button says. @param {Step} step */
  deedWord(step) {
    if (step.tick.state === 'open') return this.doubt(step) || 'Done';
    return firstOpen(this.steps) ? 'Next' : 'All steps';
  }

  paintDeed() {
    if (!this.at) return;
    if (this.root.dataset.view === 'step') this.showDeed(this.countsOn(this.at) ? 'bolts' : 'step');
    const open = this.at.tick.state === 'open';
    if (this.root.dataset.view === 'step') {
      say(one('[data-count]', this.root), `Step ${this.at.n} of ${this.steps.length}`);
    }
    const doubt = this.doubt(this.at);
    say(this.deed, this.deedWord(this.at));
    this.deed.classList.toggle('button--primary', !(open && doubt));
    const bolts = this.at.bolts;
    if (bolts) {
      say(one('[data-bolt-tight]'), bolts.deed);
      one('[data-bolt-tight]').classList.toggle('button--primary', !doubt);
      attr(one('[data-bolt-back]'), 'aria-disabled', bolts.count.back ? null : 'true');
      const done = open && !bolts.count.next;
      for (const button of all('[data-bolt-last]', this.at.stage)) reveal(button, done);
    }
    for (const button of all('[data-move]')) {
      const there = this.steps[this.at.n - 1 + (button.dataset.move === 'on' ? 1 : -1)];
      attr(button, 'aria-disabled', there ? null : 'true');
    }
    const link = one('[data-to-step]');
    const now = firstOpen(this.steps) ?? this.at;
    attr(link, 'href', `#step-${now.n}`);
    say(link, `To step ${now.n}`);
  }

  // ------------------------------------------------------------ bolts

  /** Whether the next thing to do is a bolt of this step. @param {Step} step */
  countsOn(step) {
    return step.tick.state === 'open' && Boolean(step.bolts?.count.next);
  }

  /** @param {'done'|'open'} state @param {number} time */
  press(state, time) {
    const step = this.at;
    const pressed = step?.bolts?.press(state, time);
    if (!step || !pressed) return;
    this.keep(step, [pressed]);
    step.bolts?.bringUp();
  }

  /** @param {Step} step @param {import('../ui/bolts.js').Pressed[]} all */
  keep(step, all) {
    this.paintSteps();
    for (const bolt of all) void safely(record({ card: this.id, on: { step: step.id }, do: { bolt } }));
  }

  bringUp() {
    if (this.at?.bolts?.isBegun && this.countsOn(this.at)) this.at.bolts.bringUp();
  }

  /** Opens every bolt of the step again. */
  beginAgain() {
    const step = this.at;
    if (!step?.bolts) return;
    this.keep(step, step.bolts.reset());
    step.stage.querySelector('[data-bolts-again]')?.removeAttribute('open');
  }

  /** What is asked before the step is ticked while bolts are left, unless it was answered. @param {Step} step */
  boltsLeft(step) {
    const asked = step.bolts && leftGuard(step.bolts.joint, step.bolts.count, step.bolts.word.toLowerCase());
    return asked && !this.passed(step).some(({ body }) => body.rule === BOLTS_LEFT) ? [asked] : [];
  }

  // ------------------------------------------------------------ guards

  /** @param {import('../work/fold.js').CarState} state @param {import('../work/state.js').State} facts @param {import('../work/ledger.js').Effects} effects */
  knows(state, facts, effects) {
    const first = !this.known;
    this.known = true;
    this.guards = (step) => (step.tick.state === 'open' ? guards(step.id, state, facts, effects) : []);
    this.passed = (step) => wentOn(step.id, state);
    if (this.screen?.isOpen && this.at) {
      // Another phone may have mended it meanwhile.
      const step = this.waiting ?? this.at;
      const left = [...stopping(this.guards(step)), ...(this.ticking ? this.boltsLeft(step) : [])];
      if (left.length) this.screen.paint(left);
      else this.screen.close();
    } else if (first) {
      setTimeout(() => {
        this.meet();
        this.bringUp();
      });
    }
  }

  /** Coming to the step that is next, with something in the way of it. */
  meet() {
    const step = this.at;
    if (!step || this.root.dataset.view !== 'step' || step !== firstOpen(this.steps)) return;
    const all = stopping(this.guards(step)).filter(
      (guard) => guard.weight === 'stop' || this.isNews(step, guard),
    );
    this.ticking = false;
    if (all.length) this.stop(step, stopping(this.guards(step)), null);
  }

  /** @param {Step} step @param {import('../work/guard.js').Guard} guard */
  isNews(step, { rule }) {
    return !this.warned.has(`${step.id} ${rule}`);
  }

  /** @param {Step} step @param {import('../work/guard.js').Guard[]} all @param {Step|null} waiting */
  stop(step, all, waiting) {
    this.waiting = waiting ?? step;
    for (const { rule } of all) this.warned.add(`${step.id} ${rule}`);
    this.screen?.show(step.stage.querySelector('.stage__object')?.textContent ?? '', all);
  }

  /** Writes down what is gone past and why, and ticks. @param {string} why @param {import('../work/guard.js').Guard[]} all */
  goOn(why, all) {
    const step = this.waiting;
    if (!step) return;
    for (const { rule, say: words } of all) {
      const body = { rule, say: words, why };
      void safely(record({ card: this.id, on: { step: step.id }, do: { 'went-on': body } }));
    }
    this.settle(step, 'done');
  }

  // ------------------------------------------------------------ deeds

  listen() {
    addEventListener('hashchange', () => this.go(null));
    onTap('[data-move]', (button) => this.move(button.dataset.move === 'on' ? 1 : -1));
    onTap('[data-primary]', () => this.primary());
    onTap('[data-aloud]', () => this.at && sayStep(this.at.stage));
    document.addEventListener('keydown', (event) => this.key(event));
    onTap('[data-bolt-tight]', (_, event) => this.press('done', event.timeStamp));
    onTap('[data-bolt-back]', (_, event) => this.press('open', event.timeStamp));
    onTap('[data-bolts-reset]', () => this.beginAgain());
    // The list is always there behind the title, also when the address names it already.
    onTap('a[href="#list"]', () => this.showList());
    for (const step of this.steps) this.listenTo(step);
    const recheck = this.recheck?.querySelector('form');
    if (!recheck) return;
    on(recheck, (form) => this.lookAgain(form));
    void keepDraft(recheck, `recheck:${this.id}`);
  }

  /** A keyboard, or a presenter's clicker, goes from step to step. @param {KeyboardEvent} event */
  key(event) {
    const by = MOVES[event.key];
    const typing =
      event.target instanceof Element && event.target.closest('input, textarea, select, dialog[open]');
    if (!by || typing || event.ctrlKey || event.altKey || event.metaKey || this.root.dataset.view !== 'step')
      return;
    event.preventDefault();
    this.move(by);
  }

  primary() {
    const step = this.at;
    if (!step) return;
    if (step.tick.state === 'open') {
      const reading = step.stage.querySelector('form[data-reading]');
      if (reading instanceof HTMLFormElement && text(reading, 'number')) this.read(step, reading);
      return this.tick(step, 'done');
    }
    const next = this.steps.slice(step.n).find(({ tick }) => tick.state === 'open') ?? firstOpen(this.steps);
    if (next) this.showStep(next);
    else this.showList();
  }

  /** Ticks, unless something is in the way of it. @param {Step} step @param {TickState} state */
  tick(step, state) {
    const all = state === 'done' ? [...stopping(this.guards(step)), ...this.boltsLeft(step)] : [];
    this.ticking = true;
    // Bolts are asked for each time: some may have been tightened since, and others forgotten.
    if (all.some((guard) => guard.weight === 'stop' || guard.rule === BOLTS_LEFT || this.isNews(step, guard)))
      return this.stop(step, all, step);
    // A warning was on the whole screen before, and stood on the step while it was ticked.
    for (const { rule, say: words } of all) {
      const body = { rule, say: words, why: 'Ticked with the warning in sight; no other reason given.' };
      void safely(record({ card: this.id, on: { step: step.id }, do: { 'went-on': body } }));
    }
    this.settle(step, state);
  }

  /** @param {Step} step @param {TickState} state */
  settle(step, state) {
    step.tick = { state, when: Date.now(), item: { mark: 'saving', device: deviceId(), say: '' } };
    paintTicked(step);
    if (this.at) say(this.deed, this.deedWord(this.at));
    void safely(record({ card: this.id, on: { step: step.id }, do: { tick: { state } } }));
    afterFrame(() => this.paintSteps());
  }

  /** @param {Step} step */
  listenTo(step) {
    const form = (/** @type {string} */ name) => {
      const found = step.stage.querySelector(`form[data-${name}]`);
      return found instanceof HTMLFormElement ? found : null;
    };
    reveal(one('[data-act="done"]', step.stage), false);
    on(form('ticks'), (_, submitter) => {
      this.tick(step, /** @type {TickState} */ (submitter?.getAttribute('value') ?? 'done'));
    });
    on(form('reading'), (reading) => this.read(step, reading));
    const note = form('note');
    on(note, (words) => this.note(step, words));
    if (note) void this.restore(note, step);
    for (const input of all('[data-photo-input]', step.stage)) {
      input.addEventListener('change', () => this.photo(step, /** @type {HTMLInputElement} */ (input)));
    }
  }

  /** @param {HTMLFormElement} form @param {Step} step */
  async restore(form, step) {
    if (await keepDraft(form, `note:${step.id}`))
      one('details', form.closest('.acts') ?? form).setAttribute('open', '');
  }

  /** @param {Step} step @param {HTMLFormElement} form */
  read(step, form) {
    const value = number(form);
    if (value === null) return;
    const reading = {
      what: text(form, 'name') || (form.dataset.reading ?? ''),
      number: value,
      unit: text(form, 'unit'),
    };
    const field = /** @type {HTMLInputElement} */ (form.elements.namedItem('number'));
    field.value = '';
    const part = form.elements.namedItem('name');
    if (part instanceof HTMLSelectElement && part.selectedIndex + 1 < part.length) part.selectedIndex += 1;
    void safely(record({ card: this.id, on: { step: step.id }, do: { reading } }));
  }

  /** @param {Step} step @param {HTMLFormElement} form */
  async note(step, form) {
    const words = text(form, 'text');
    if (!words) return;
    const saved = safely(record({ card: this.id, on: { step: step.id }, do: { note: { text: words } } }));
    form.closest('details')?.removeAttribute('open');
    if (await saved) form.reset();
  }

  /** @param {HTMLFormElement} form */
  async lookAgain(form) {
    const words = text(form, 'text');
    if (!words) return;
    const saved = safely(record({ card: this.id, on: { card: this.id }, do: { recheck: { text: words } } }));
    if (await saved) form.reset();
  }

  /** @param {Step} step @param {HTMLInputElement} input */
  async photo(step, input) {
    const file = input.files?.[0];
    if (!file) return;
    const how = one('[data-photo-how]', step.stage);
    say(how, 'Keeping the photo …');
    reveal(how, true);
    try {
      await addPhoto(file, { card: this.id, on: { step: step.id } });
    } catch (error) {
      notSaved(error instanceof Error ? error.message : String(error));
    }
    reveal(how, false);
    input.value = '';
  }
}

/**
 * @param {HTMLFormElement|null} form
 * @param {(form: HTMLFormElement, submitter: HTMLElement|null) => void} act
 */
function on(form, act) {
  form?.addEventListener('submit', (event) => {
    event.preventDefault();
    act(form, event.submitter);
  });
}
