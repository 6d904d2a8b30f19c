// @ts-check
/**
 * A card's condition as a tag. The server draws it with what the desk has written (`data-steps`, `data-specs`,
 * `data-missing-specs`, `data-missing-parts`, `data-missing-tools` on an element with `data-tag`); what was done is known better here.
 */
import { condition } from '../work/condition.js';
import { attr, one, say, setMark } from './dom.js';

/** @typedef {import('../work/condition.js').Condition} Condition */

/** Name in the style sheets, and word. @type {Record<Condition, [string, string]>} */
const SHOWN = {
  sketched: ['sketched', 'sketched'],
  short: ['short', 'short'],
  ready: ['ready', 'ready'],
  apart: ['apart', 'apart'],
  'closed-up': ['closed', 'closed up'],
  proven: ['proven', 'proven'],
};

/**
 * @param {HTMLElement} tag
 * @param {import('../work/condition.js').Done} done
 * @returns {Condition}
 */
export function paintCondition(tag, done) {
  const { steps, specs, missingSpecs, missingParts, missingTools } = tag.dataset;
  const found = condition({
    steps: Number(steps),
    specs: Number(specs),
    missing_specs: Number(missingSpecs),
    missing_parts: Number(missingParts),
    missing_tools: Number(missingTools),
    ...done,
  });
  const [code, word] = SHOWN[found];
  attr(tag, 'class', `tag tag--${code}`);
  setMark(one('.mark', tag), code);
  say(one('[data-word]', tag), word);
  return found;
}
