// @ts-check
/**
 * Choosing a car: says which of them are on this phone, and adds those the page does not know.
 */

import { copiesHere } from '../ui/copies.js';
import { one, say } from '../ui/dom.js';
import { copyItem } from '../ui/status.js';
import { startUnder } from '../ui/under.js';

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  await startUnder(page);
  for (const { car, pack } of await copiesHere().catch(() => [])) {
    const row = document.querySelector(`[data-car-row="${car}"]`);
    if (row) say(one('[data-copy]', row), copyItem(pack).words);
  }
}
