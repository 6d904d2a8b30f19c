// @ts-check
/**
 * Day, night, inspection lamp, or as the phone is set. Kept in a cookie, so that the server draws the next page in it.
 *
 * Markup: `<button data-scheme-set="night">`. The chosen one gets `aria-pressed="true"`.
 * A page out of the copy was drawn under an older choice: `scheme-early.js`, in its head, puts that right before paint.
 */
import { all, onTap } from '../lib/page.js';

const SCHEMES = ['day', 'night', 'lamp', 'auto'];
const YEAR = 365 * 24 * 3600;

export function startScheme() {
  onTap('[data-scheme-set]', (button) => choose(button.dataset.schemeSet ?? ''));
  mark(document.documentElement.dataset.scheme ?? 'auto');
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
  for (const button of all('[data-scheme-set]')) {
    button.setAttribute('aria-pressed', String(button.dataset.schemeSet === scheme));
  }
}
