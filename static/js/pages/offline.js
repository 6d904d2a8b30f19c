// @ts-check
/**
 * The page in place of one that is not on this phone: lists what is.
 */
import { copiesHere } from '../ui/copies.js';
import { one } from '../ui/dom.js';
import { copyItem } from '../ui/status.js';
import { startUnder } from '../ui/under.js';

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  await startUnder(page);
  const copies = await copiesHere().catch(() => []);
  one('[data-copies]').replaceChildren(...copies.map(row));
}

/** @param {import('../ui/copies.js').Copy} copy */
function row({ car, name, pack }) {
  const item = document.createElement('li');
  item.className = 'row';
  const what = document.createElement('p');
  what.className = 'row__what';
  const link = document.createElement('a');
  link.href = `/under/${car}`;
  link.textContent = name;
  what.append(link);
  const more = document.createElement('p');
  more.className = 'row__more';
  more.textContent = copyItem(pack).words;
  item.append(what, more);
  return item;
}
