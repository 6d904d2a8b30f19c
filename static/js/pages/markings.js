// @ts-check
/**
 * The marking reader. The garage reads: before a form leaves this page it is asked whether it is there, because a page
 * that cannot be fetched would take what was typed with it.
 */
import { ask } from '../lib/http.js';
import { all } from '../lib/page.js';
import { one, reveal } from '../ui/dom.js';
import { startUnder } from '../ui/under.js';

/** How long the garage may take to say that it is there, in milliseconds. */
const PATIENCE = 4000;

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  await startUnder(page);
  for (const form of all('form[data-ask]')) {
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      send(/** @type {HTMLFormElement} */ (form));
    });
  }
}

/** @param {HTMLFormElement} form */
async function send(form) {
  const there = await isThere();
  const notice = one('[data-out-of-reach]');
  reveal(notice, !there);
  if (there) form.submit();
  else notice.scrollIntoView({ block: 'center' });
}

async function isThere() {
  try {
    await ask('/sync/hello', { timeout: PATIENCE });
    return true;
  } catch {
    return false;
  }
}
