// @ts-check
/**
 * Day, night, inspection lamp, or as the phone is set. Kept in a cookie, so that the server draws the next page in it.
 *
 * Markup: `<form method="post" action="/scheme" data-scheme-form>` with `<button name="scheme" value="night">`. Without
 * script the server sets the cookie; here it is set on the spot, which works under the car too. The chosen button gets
 * `aria-pressed="true"`, and `data-scheme-now` is filled with the choice.
 * A page out of the copy was drawn under an older choice: `scheme-early.js`, in its head, puts that right before paint.
 */
import { all, write } from '../lib/page.js';

const SCHEMES = ['day', 'night', 'lamp', 'auto'];
const YEAR = 365 * 24 * 3600;

export function startScheme() {
  mark(document.documentElement.dataset.scheme ?? 'auto');
  document.addEventListener('submit', (event) => {
    const form = /** @type {HTMLFormElement} */ (event.target);
    const button = event.submitter;
    if (!form.matches('[data-scheme-form]') || !(button instanceof HTMLButtonElement)) return;
    event.preventDefault();
    choose(button.value);
  });
}

/** @param {string} scheme `day`, `night`, `lamp` or `auto`; anything else is ignored */
export function choose(scheme) {
  if (!SCHEMES.includes(scheme)) return;
  const secure = location.protocol === 'https:' ? '; Secure' : '';
  // biome-ignore lint/suspicious/noDocumentCookie: the cookie store is not there in every browser.
  document.cookie = `scheme=${scheme}; path=/; max-age=${YEAR}; SameSite=Lax${secure}`;
  document.documentElement.dataset.scheme = scheme;
  mark(scheme);
}

/** @param {string} scheme */
function mark(scheme) {
  for (const button of all('[data-scheme-form] button[name="scheme"]')) {
    button.setAttribute('aria-pressed', String(button.getAttribute('value') === scheme));
  }
  write('[data-scheme-now]', scheme);
}
