// @ts-check
/**
 * How a reading stands to its limit, in words beside the field: while it is typed, and afterwards for the last one noted,
 * sent or not.
 */
import { pageJson } from '../lib/page.js';
import { limitOf, verdict } from '../work/limit.js';
import { bodyOf, kindOf, order } from '../work/op.js';
import { attr, one, reveal, say, setMark } from './dom.js';
import { text } from './form-draft.js';

/** @typedef {import('../work/limit.js').Reading} Reading */

/** @type {Record<string, string>} */
const MARKS = {
  pass: 'fine',
  watch: 'watch',
  fail: 'act',
  missing: 'todo',
  later: 'waiting',
  unreadable: 'unknown',
};

/** @param {Iterable<import('../work/op.js').Rec>} records @returns {Reading[]} oldest first */
function readingsOf(records) {
  return [...records]
    .filter(({ op, state }) => state !== 'refused' && kindOf(op) === 'reading')
    .sort((a, b) => order(a.op, b.op))
    .map(({ op }) => ({ ...bodyOf(op), when: Number(op.hlc.slice(0, 16)) }));
}

/** @param {ParentNode} root */
export function watchVerdicts(root) {
  /** @type {import('../work/limit.js').Limits} */
  const limits = pageJson('limits') ?? { limits: [], scales: {}, words: {} };
  /** @type {Reading[]} */
  let readings = [];
  const forms = /** @type {HTMLFormElement[]} */ ([...root.querySelectorAll('form[data-judged]')]);
  const paint = () => {
    for (const form of forms) paintForm(form, limits, readings);
  };
  for (const form of forms) {
    form.addEventListener('input', () => paintForm(form, limits, readings));
    form.addEventListener('change', () => paintForm(form, limits, readings));
    form.addEventListener('reset', () => setTimeout(paint));
  }
  return {
    /** @param {Iterable<import('../work/op.js').Rec>} records */
    knows(records) {
      if (!forms.length || !limits.limits.length) return;
      readings = readingsOf(records);
      paint();
    },
    paint,
  };
}

/** @param {HTMLFormElement} form @param {import('../work/limit.js').Limits} limits @param {Reading[]} readings */
function paintForm(form, limits, readings) {
  const place = one('[data-verdict]', form);
  const what = text(form, 'name');
  const found = limitOf(limits, what);
  const number = text(form, 'number');
  const own = readings.filter((reading) => {
    const of = limitOf(limits, reading.what);
    // What is read with oil tells of its own cylinder, and is not judged.
    return of && of.limit === found?.limit && (of.part >= 0 || !of.limit.cylinders);
  });
  const typed = { what, number, unit: text(form, 'unit'), when: Date.now() };
  const all = /\d/.test(number) ? [...own, typed] : own;
  const told = found && all.length ? verdict(limits, all) : null;
  reveal(place, told !== null);
  if (!told || !found) return;
  const word = one('[data-verdict-word]', place);
  attr(word, 'class', `verdict verdict--${MARKS[told.outcome]}`);
  setMark(one('[data-verdict-mark]', place), MARKS[told.outcome]);
  say(one('[data-verdict-say]', place), words(told, limits.words));
  const { says, source, spread } = found.limit;
  const sentences = [
    ofWhich(form, all.at(-1), typed),
    ...(spread && told.outcome in limits.words ? ['All cylinders together'] : []),
    `Limit: ${says}`,
  ];
  if (source) sentences.push(source.charAt(0).toUpperCase() + source.slice(1));
  say(one('[data-verdict-more]', place), `${sentences.join('. ')}.`);
}

/** @param {HTMLFormElement} form @param {Reading|undefined} last @param {Reading} typed */
function ofWhich(form, last, typed) {
  if (!last || last === typed) return 'As typed';
  const units = /** @type {HTMLOptionElement[]} */ ([...form.querySelectorAll('select[name=unit] option')]);
  const unit = units.find(({ value }) => value === last.unit)?.text ?? '';
  return `Last noted: ${last.number.replace(',', '.')} ${unit}`.trimEnd();
}

/** @param {import('../work/limit.js').Verdict} told @param {Record<string, string>} names */
function words(told, names) {
  switch (told.outcome) {
    case 'missing':
      return `Still to read: cylinder ${told.missing.join(', ')}`;
    case 'later':
      return 'Judged when it reaches the garage';
    case 'unreadable':
      return 'No such reading: is the unit right?';
    default:
      return names[told.outcome] ?? told.outcome;
  }
}
