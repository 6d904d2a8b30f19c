// @ts-check
/**
 * Check trees: the end of a walk is kept as a finding on the car, without signal too. The walk itself needs no script.
 */
import { all } from '../lib/page.js';
import { record } from '../outbox/record.js';
import { text } from '../ui/form-draft.js';
import { safely, startUnder } from '../ui/under.js';

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  await startUnder(page);
  const { car } = page;
  for (const form of /** @type {HTMLFormElement[]} */ (all('form[data-form]'))) {
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      void keep(form, car);
    });
  }
}

/** @param {HTMLFormElement} form @param {string} car */
async function keep(form, car) {
  const weight = /** @type {'fine'|'watch'|'act'|'unknown'} */ (text(form, 'weight'));
  const finding = { text: text(form, 'text'), where: text(form, 'place'), weight };
  const kept = await safely(record({ card: null, on: { car }, do: { finding } }));
  // There it stands under “Noted lately”, with how far it has come.
  if (kept) location.assign(`/under/${car}/note`);
}
