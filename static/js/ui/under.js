// @ts-check
/**
 * What every page under the car does: shows what needs scripts, says when something was not saved, and leads back to the
 * card that was open.
 *
 * @typedef {import('../work/op.js').Rec} Rec
 */
import { hear } from '../lib/bus.js';
import { onTap, show, write } from '../lib/page.js';
import { saveAgain } from '../outbox/record.js';
import { pointBar } from './left-off.js';

/** What could not be stored, until it is. @type {Map<string, Rec>} */
const unsaved = new Map();

/** @param {import('../lib/page.js').Page} page */
export async function startUnder({ car }) {
  show('[data-script]', true);
  show('[data-no-script]', false);
  onTap('[data-reload]', () => location.reload());
  hear('changed', ({ phase, records, say, elsewhere }) => {
    if (elsewhere) return;
    for (const record of /** @type {Rec[]} */ (records)) {
      if (phase === 'failed') unsaved.set(record.id, record);
      if (phase === 'saved') unsaved.delete(record.id);
    }
    if (phase === 'failed') notSaved(say ?? '');
    if (unsaved.size === 0 && phase === 'saved') show('[data-not-saved]', false);
  });
  onTap('[data-save-again]', async () => {
    for (const record of [...unsaved.values()]) await saveAgain(record).catch(() => {});
  });
  addEventListener('beforeunload', (event) => {
    // The browser asks the person: what could not be stored is only in this page.
    if (unsaved.size) event.preventDefault();
  });
  if (car) await pointBar(car).catch(() => {});
}

/** Says that something was not saved. @param {string} words */
export function notSaved(words) {
  write('[data-not-saved-say]', `${words} Keep this page open.`);
  show('[data-not-saved]', true);
}

/**
 * For what `record` rejects with: the page has been told already.
 * @param {Promise<unknown>} recording
 * @returns {Promise<boolean>} whether it is safe on this phone
 */
export async function safely(recording) {
  try {
    await recording;
    return true;
  } catch (error) {
    console.warn(error);
    return false;
  }
}
