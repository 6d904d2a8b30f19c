// @ts-check
/**
 * The spec book: narrowed as one types, on the phone alone.
 */
import { all } from '../lib/page.js';
import { count } from '../lib/when.js';
import { one, reveal, say } from '../ui/dom.js';
import { startUnder } from '../ui/under.js';

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  await startUnder(page);
  const input = /** @type {HTMLInputElement} */ (one('[data-find-input]'));
  const form = one('form[data-search]');
  // A page out of the copy is the whole book, whatever its address asks for.
  const asked = new URLSearchParams(location.search).get('q') ?? '';
  if (!input.value) input.value = asked;
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    input.blur();
  });
  input.addEventListener('input', () => narrow(input.value));
  if (input.value) narrow(input.value);
}

/** @param {string} typed */
function narrow(typed) {
  const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
  let found = 0;
  for (const group of all('[data-group]')) {
    let here = 0;
    for (const spec of all('[data-find]', group)) {
      const fits = words.every((word) => spec.dataset.find?.includes(word));
      reveal(spec, fits);
      if (fits) here += 1;
    }
    reveal(group, here > 0);
    found += here;
  }
  say(one('[data-found]'), words.length ? `${count(found, 'spec')} found` : count(found, 'spec'));
  reveal(one('[data-nothing]'), found === 0);
}
