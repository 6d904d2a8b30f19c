// @ts-check
/**
 * The survey under the car: the walk with how far it is, and one question on the screen. Every answer is an operation on the
 * car, stored on this phone before anything is sent.
 */
import { onTap, pageJson } from '../lib/page.js';
import { moment } from '../lib/when.js';
import { dropDraft, readDraft, saveDraft } from '../outbox/drafts.js';
import { addPhoto } from '../outbox/photos.js';
import { record } from '../outbox/record.js';
import { attr, fresh, one, reveal, say, setMark } from '../ui/dom.js';
import { number, text } from '../ui/form-draft.js';
import { paintItems } from '../ui/items.js';
import { paintMarker } from '../ui/marker.js';
import { notSaved, safely, startUnder } from '../ui/under.js';
import { watchVerdicts } from '../ui/verdict.js';
import { keepAwake } from '../ui/wake-lock.js';
import { openWork } from '../ui/work.js';
import { fold, inOrder } from '../work/fold.js';
import { nextOpen, tally, tallyWords } from '../work/survey.js';

/** @typedef {import('../work/survey.js').Question} Question */
/** @typedef {import('../work/survey.js').Area} Area */
/** @typedef {'fine'|'watch'|'act'|'unknown'} Answer */

/** @type {Record<Answer, string>} */
const WORDS = { fine: 'Fine', watch: 'Watch it', act: 'To be done', unknown: 'Not known' };

/** Typing rests this long before it is stored, milliseconds. */
const REST = 400;

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  const walk = new Walk(page.car);
  await startUnder(page);
  void keepAwake();
  await walk.start();
}

class Walk {
  /** @type {import('../work/survey.js').Survey} */
  survey = pageJson('survey') ?? { areas: [], cautions: {}, kinds: {}, ranked_at: '' };
  /** Every question in walking order. @type {Question[]} */
  questions = this.survey.areas.flatMap(({ questions }) => questions);
  /** What is on the screen; null: the walk. @type {Question|null} */
  shown = null;
  /** The answer is being changed: the four stand there again. */
  changing = false;
  state = fold([]);
  /** @type {import('../work/op.js').Rec[]} */
  records = [];
  /** What was kept on the question before, to be said once on the next. */
  before = '';
  /** Where the person left off. @type {string} */
  left = '';
  /** @type {ReturnType<typeof setTimeout>|undefined} */
  resting;

  /** @param {string} car */
  constructor(car) {
    this.car = car;
    this.screen = one('[data-question]');
    this.reading = /** @type {HTMLFormElement} */ (one('form[data-reading]'));
    this.note = /** @type {HTMLTextAreaElement} */ (one('#f-note'));
  }

  async start() {
    this.listen();
    this.left = (await readDraft(`survey-at:${this.car}`).catch(() => null)) ?? '';
    this.verdicts = watchVerdicts(document);
    const work = await openWork(this.car);
    work.onChange(() => {
      this.records = work.records();
      this.state = fold(this.records);
      this.verdicts?.knows(this.records);
      this.paint();
    });
    this.follow();
    addEventListener('hashchange', () => this.follow());
  }

  listen() {
    onTap('[data-answer]', (button) => void this.answer(/** @type {Answer} */ (button.dataset.answer)));
    onTap('[data-change]', () => this.change());
    onTap('[data-next]', () => this.toNext());
    onTap('[data-move]', (button) => this.move(button.dataset.move === 'on' ? 1 : -1));
    onTap('[data-go-on]', (_, event) => this.goOn(event));
    onTap('[data-to-area]', (link, event) => this.toArea(link.dataset.toArea ?? '', event));
    this.reading.addEventListener('submit', (event) => {
      event.preventDefault();
      void this.keepReading();
    });
    one('form[data-note]').addEventListener('submit', (event) => {
      event.preventDefault();
      void this.answer(this.given()?.body.answer);
    });
    this.note.addEventListener('input', () => this.keepTyping());
    for (const input of document.querySelectorAll('[data-photo-input]')) {
      input.addEventListener('change', () => void this.photo(/** @type {HTMLInputElement} */ (input)));
    }
  }

  // -------------------------------------------------------------- moving about

  /** Shows what the address names. */
  follow() {
    const key = location.hash.match(/^#q-(.+)$/)?.[1];
    const question = this.questions.find((known) => known.key === key) ?? null;
    if (this.shown === question && question) return;
    this.shown = question;
    this.changing = false;
    reveal(one('[data-walk]'), !question);
    reveal(this.screen, question !== null);
    if (question) this.enter(question);
    scrollTo(0, 0);
    this.paint();
  }

  /** @param {Question} question */
  enter(question) {
    this.left = question.key;
    void saveDraft(`survey-at:${this.car}`, question.key).catch(() => {});
    this.fill(question);
    const noted = this.given()?.body.note ?? '';
    this.note.value = noted;
    void readDraft(this.draft(question)).then(
      (kept) => {
        if (kept && this.shown === question && this.note.value === noted) this.note.value = kept;
        this.paint();
      },
      () => {},
    );
    one('[data-ask]').focus({ preventScroll: true });
  }

  /** @param {Question} question */
  draft({ key }) {
    return `survey-note:${this.car}:${key}`;
  }

  /** @param {Question} question */
  go({ key }) {
    location.hash = `#q-${key}`;
  }

  /** @param {1|-1} by */
  move(by) {
    const at = this.at() + by;
    if (this.questions[at]) this.go(this.questions[at]);
    else location.hash = '#walk';
  }

  at() {
    return this.shown ? this.questions.indexOf(this.shown) : -1;
  }

  /** On to the next that has no answer; after the last, to the list. */
  toNext() {
    const next = nextOpen(this.questions, this.state.survey, this.at() + 1);
    // The answer just given may not have been folded in yet.
    if (next && next !== this.shown) this.go(next);
    else location.hash = '#walk';
  }

  /** @param {Event} event */
  goOn(event) {
    const next = this.next();
    if (!next) return;
    event.preventDefault();
    this.go(next);
  }

  /** Where the walk goes on: where it was left, else the next without an answer, else its beginning. */
  next() {
    const at = Math.max(
      0,
      this.questions.findIndex(({ key }) => key === this.left),
    );
    return nextOpen(this.questions, this.state.survey, at) ?? this.questions[0];
  }

  /** @param {string} key @param {Event} event */
  toArea(key, event) {
    const area = this.survey.areas.find((known) => known.key === key);
    if (!area) return;
    event.preventDefault();
    this.go(nextOpen(area.questions, this.state.survey, 0) ?? area.questions[0]);
  }

  // -------------------------------------------------------------- what is done

  given() {
    return this.shown ? (this.state.survey.get(this.shown.key)?.last ?? null) : null;
  }

  change() {
    this.changing = true;
    this.paint();
  }

  /** @param {Answer|undefined} answer */
  async answer(answer) {
    const question = this.shown;
    if (!question || !answer) return;
    const body = { question: question.key, say: question.ask, answer, note: this.note.value.trim() };
    this.changing = false;
    clearTimeout(this.resting);
    if (!(await safely(record({ on: { car: this.car }, do: { survey: body } })))) return;
    await dropDraft(this.draft(question)).catch(() => {});
    // What is fine needs no more words; anything else may want a note or a photo.
    if (answer === 'fine' && !body.note && this.shown === question) {
      this.before = `Kept: ${question.ask} Fine.`;
      this.toNext();
    }
  }

  keepTyping() {
    const question = this.shown;
    if (!question) return;
    clearTimeout(this.resting);
    this.resting = setTimeout(
      () => void saveDraft(this.draft(question), this.note.value).catch(() => {}),
      REST,
    );
    this.paintSaid();
  }

  async keepReading() {
    const value = number(this.reading);
    const what = text(this.reading, 'name');
    if (!value || !what) return;
    const reading = { what, number: value, unit: text(this.reading, 'unit') };
    if (await safely(record({ on: { car: this.car }, do: { reading } }))) {
      /** @type {HTMLInputElement} */ (this.reading.elements.namedItem('number')).value = '';
      this.verdicts?.paint();
    }
  }

  /** @param {HTMLInputElement} input */
  async photo(input) {
    const file = input.files?.[0];
    const question = this.shown;
    if (!file || !question) return;
    const how = one('[data-photo-how]');
    say(how, 'Keeping the photo …');
    reveal(how, true);
    try {
      await addPhoto(file, { on: { car: this.car }, caption: question.ask, question: question.key });
    } catch (error) {
      notSaved(error instanceof Error ? error.message : String(error));
    }
    reveal(how, false);
    input.value = '';
  }

  // -------------------------------------------------------------- painting

  paint() {
    this.paintDeeds();
    if (this.shown) {
      this.paintSaid();
      this.paintItems(this.shown);
    }
    const whole = tally(this.questions, this.state.survey);
    say(one('[data-count]'), `${whole.answered} of ${whole.asked} answered`);
    for (const area of this.survey.areas) this.paintArea(area);
    this.paintSince();
    const next = this.next();
    const at = this.survey.areas.find(({ questions }) => questions.includes(next));
    if (at) say(one('[data-go-on]'), `${whole.answered ? 'Go on' : 'Begin'}: ${at.title}`);
  }

  paintDeeds() {
    const asks = this.shown && (this.changing || !this.given());
    reveal(one('[data-deed="walk"]'), !this.shown);
    reveal(one('[data-deed="answers"]'), Boolean(asks));
    reveal(one('[data-deed="on"]'), Boolean(this.shown) && !asks);
    reveal(one('[data-change]'), Boolean(this.shown) && !asks);
  }

  /** How the question is answered, and whether the note differs from the one that is kept. */
  paintSaid() {
    const given = this.given();
    const line = one('[data-said]');
    reveal(line, given !== null);
    const noted = given?.body.note ?? '';
    reveal(one('[data-keep-note]'), given !== null && this.note.value.trim() !== noted);
    if (!given) return;
    setMark(one('[data-said-mark]'), given.body.answer);
    say(
      one('[data-said-words]'),
      `${WORDS[/** @type {Answer} */ (given.body.answer)]}, ${moment(given.when)}`,
    );
    paintMarker(one('[data-said-how]'), given);
  }

  /** @param {Question} question */
  paintItems({ key, read }) {
    const wanted = this.records.filter(({ op }) => {
      if ('photo' in op.do) return op.do.photo.question === key;
      return 'reading' in op.do && sameName(op.do.reading.what, read?.[0] ?? '');
    });
    const some = fold(inOrder(wanted));
    const readings = [...some.readings.values()].flatMap((said) =>
      [...said.values()].flatMap(({ history }) => history.slice(-3)),
    );
    const items = [...readings, ...[...some.photos.values()].flat()];
    paintItems(
      one('[data-items="question"]'),
      items.sort((a, b) => (a.hlc < b.hlc ? 1 : -1)),
    );
  }

  /** @param {Area} area */
  paintArea({ key, questions }) {
    const row = document.querySelector(`[data-area-row="${CSS.escape(key)}"]`);
    if (!row) return;
    const sum = tally(questions, this.state.survey);
    say(one('[data-area-count]', row), `${sum.answered} of ${sum.asked} answered`);
    say(one('[data-area-words]', row), tallyWords(sum));
    setMark(
      one('[data-area-mark]', row),
      sum.answered === sum.asked ? 'done' : sum.answered ? 'now' : 'todo',
    );
  }

  /** What was answered or found after the list on the page was ranked. */
  paintSince() {
    const { ranked_at } = this.survey;
    const since = this.records.filter(
      ({ op, state }) =>
        state !== 'refused' &&
        op.hlc > ranked_at &&
        ('survey' in op.do || 'finding' in op.do || 'dealt' in op.do),
    ).length;
    const line = one('[data-since]');
    reveal(line, since > 0);
    const words =
      since === 1 ? 'One thing was noted since, and is' : `${since} things were noted since, and are`;
    say(line, `${words} not in this list yet: it is ranked at the garage.`);
  }

  /** The question's own words. @param {Question} question */
  fill(question) {
    const area = this.survey.areas.find(({ questions }) => questions.includes(question));
    if (!area) return;
    const n = area.questions.indexOf(question) + 1;
    say(one('[data-where]'), `${area.title}: ${n} of ${area.questions.length}`);
    say(one('[data-before]'), this.before);
    this.before = '';
    say(one('[data-intro]'), area.intro);
    reveal(one('[data-intro]'), n === 1 && area.intro !== '');
    const cautions = (question.cautions ?? []).map((name) => caution(this.survey.cautions[name]));
    one('[data-cautions]').replaceChildren(...cautions);
    reveal(one('[data-cautions]'), cautions.length > 0);
    say(one('[data-ask]'), question.ask);
    reveal(one('[data-helper]'), Boolean(question.helper));
    say(one('[data-look]'), question.look);
    for (const way of /** @type {const} */ (['fine', 'watch', 'act'])) {
      say(one(`[data-way="${way}"]`), question[way]);
    }
    say(one('[data-photo-hint] span'), `${question.photo ?? ''}.`);
    reveal(one('[data-photo-hint]'), Boolean(question.photo));
    this.fillReading(question);
  }

  /** @param {Question} question */
  fillReading({ read }) {
    reveal(this.reading, Boolean(read));
    const field = (/** @type {string} */ name) =>
      /** @type {HTMLInputElement} */ (this.reading.elements.namedItem(name));
    const [what, kind] = read ?? ['', ''];
    field('name').value = what;
    field('number').value = '';
    say(one('[data-what]'), what);
    const before = this.records.flatMap(({ op }) => ('reading' in op.do ? [op.do.reading] : []));
    const unit = before.filter((reading) => sameName(reading.what, what)).at(-1)?.unit ?? '';
    const units = this.survey.kinds[kind] ?? [];
    field('unit').replaceChildren(
      ...units.map(([code, name]) => new Option(name, code, false, code === unit)),
    );
    this.verdicts?.paint();
  }
}

/** @param {string} one @param {string} other */
function sameName(one, other) {
  const plain = (/** @type {string} */ name) => name.trim().split(/\s+/).join(' ').toLowerCase();
  return plain(one) === plain(other);
}

/** @param {[string, string]} words */
function caution([harm, avoid]) {
  const drawn = fresh('caution');
  say(one('span', drawn), `${harm} ${avoid}`);
  attr(drawn, 'data-drawn', '');
  return drawn;
}
