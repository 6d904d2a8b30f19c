// @ts-check
/**
 * The form of a step: narrows the specs to attach while words to find are typed. Without it, the button does the same.
 */
import { all, write } from '../lib/page.js';

/**
 * Whether every word typed stands somewhere in the text, whatever its case.
 * @param {string} text
 * @param {string} typed
 */
export function isFound(text, typed) {
  const within = text.toLowerCase();
  return typed
    .toLowerCase()
    .split(/\s+/)
    .every((word) => within.includes(word));
}

/**
 * Shows the specs that match, and always those that are chosen.
 * @param {HTMLElement} list
 * @param {string} typed
 */
function narrow(list, typed) {
  const wanted = typed.trim();
  let found = 0;
  for (const choice of all('[data-spec-choice]', list)) {
    const chosen = choice.querySelector('input')?.checked ?? false;
    const matches = isFound(choice.textContent ?? '', wanted);
    choice.hidden = !chosen && !matches;
    if (!chosen && matches) found += 1;
  }
  for (const group of all('[data-spec-group]', list)) {
    group.hidden = all('[data-spec-choice]', group).every((choice) => choice.hidden);
  }
  const rest = list.querySelector('[data-spec-rest]');
  if (rest instanceof HTMLDetailsElement && wanted) rest.open = true;
  write('[data-spec-count]', wanted ? `${found} in the spec book` : '');
}

/** Starts the page. */
export function start() {
  const list = all('[data-specs]')[0];
  const find = list?.querySelector('[data-spec-find]');
  if (!list || !(find instanceof HTMLInputElement)) return;
  for (const button of all('[data-spec-find-button]', list)) button.hidden = true;
  find.addEventListener('input', () => narrow(list, find.value));
  find.addEventListener('keydown', (event) => {
    // Everything that matches is in sight: the enter key must not save the step by surprise.
    if (event.key === 'Enter') event.preventDefault();
  });
}
