// @ts-check
/**
 * What stands in the way of a step: as a strip on it, and before it is ticked on the whole screen.
 *
 * Markup: `data-strip` in each step; once in the page the dialog `data-guards` and the template `guard` of
 * `templates/under/parts.html`. Back is the first thing to press; going on asks for a reason.
 *
 * @typedef {import('../work/guard.js').Guard} Guard
 */
import { all } from '../lib/page.js';
import { WEIGHT_WORDS } from '../work/guard.js';
import { attr, fresh, mark, one, reveal, say } from './dom.js';
import { text } from './form-draft.js';

/** What each strip and the dialog show at the moment. @type {WeakMap<HTMLElement, string>} */
const shown = new WeakMap();

/**
 * @param {HTMLElement} strip
 * @param {Guard[]} guards
 * @param {import('../work/fold.js').Item[]} passed what was gone past
 */
export function paintStrip(strip, guards, passed) {
  const signature = JSON.stringify([guards, passed.map(({ body }) => body)]);
  if (shown.get(strip) === signature) return;
  shown.set(strip, signature);
  const past = passed.map(({ body }) => {
    const line = document.createElement('p');
    line.className = 'went-on';
    line.append(bold('Went on anyway:'), ` ${body.say} `, bold('Because:'), ` ${body.why}`);
    return line;
  });
  strip.replaceChildren(...guards.filter((guard) => !guard.passed).map(draw), ...past);
  reveal(strip, strip.childElementCount > 0);
}

/** @param {string} words */
function bold(words) {
  const element = document.createElement('b');
  element.textContent = words;
  return element;
}

/** @param {Guard} guard */
function draw({ weight, headline, say: why, mend }) {
  const drawn = fresh('guard');
  attr(drawn, 'class', `guard guard--${weight}`);
  const tag = one('[data-weight]', drawn);
  attr(tag, 'class', `tag tag--${weight}`);
  tag.append(mark(weight === 'warn' ? 'act' : weight), ` ${WEIGHT_WORDS[weight]}`);
  say(one('[data-headline]', drawn), headline);
  say(one('[data-why]', drawn), why);
  say(one('[data-mend]', drawn), mend);
  return drawn;
}

/** The guards on the whole screen. */
export class GuardScreen {
  /** @param {(why: string, guards: Guard[]) => void} goOn with a reason */
  constructor(goOn) {
    this.dialog = /** @type {HTMLDialogElement} */ (one('[data-guards]'));
    this.form = /** @type {HTMLFormElement} */ (one('[data-guards-reason]', this.dialog));
    /** @type {Guard[]} */
    this.guards = [];
    one('[data-guards-back]', this.dialog).addEventListener('click', () => this.close());
    one('[data-guards-on]', this.dialog).addEventListener('click', () => this.ask());
    this.form.addEventListener('submit', (event) => {
      event.preventDefault();
      this.answer(goOn);
    });
    this.form.addEventListener('input', () => reveal(one('[data-guards-trouble]', this.form), false));
  }

  get isOpen() {
    return this.dialog.open;
  }

  /** @param {string} step what it is about, in words @param {Guard[]} guards */
  show(step, guards) {
    this.paint(guards);
    say(one('[data-guards-for]', this.dialog), `Not yet: ${step}`);
    if (this.isOpen) return;
    this.form.reset();
    reveal(this.form, false);
    reveal(one('[data-guards-on]', this.dialog), true);
    this.dialog.showModal();
    one('[data-guards-for]', this.dialog).focus();
  }

  /** What is true may change while it is shown, by another phone. @param {Guard[]} guards */
  paint(guards) {
    this.guards = guards;
    const list = one('[data-guards-all]', this.dialog);
    const signature = JSON.stringify(guards);
    if (shown.get(list) === signature) return;
    shown.set(list, signature);
    list.replaceChildren(...guards.map(draw));
    attr(this.dialog, 'class', `guards guards--${guards[0]?.weight ?? 'note'}`);
  }

  close() {
    if (this.isOpen) this.dialog.close();
  }

  /** Asks for the reason. */
  ask() {
    reveal(this.form, true);
    reveal(one('[data-guards-on]', this.dialog), false);
    one('legend', this.form).scrollIntoView({ block: 'start' });
    all('input', this.form)[0]?.focus();
  }

  /** @param {(why: string, guards: Guard[]) => void} goOn */
  answer(goOn) {
    const why = [text(this.form, 'why'), text(this.form, 'more')].filter(Boolean).join(': ');
    reveal(one('[data-guards-trouble]', this.form), !why);
    if (!why) return;
    const { guards } = this;
    this.close();
    goOn(why, guards);
  }
}
