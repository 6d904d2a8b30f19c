// @ts-check
/**
 * A helper's link: its secret stands behind `#`, where no server and no log sees it. It is taken out of the address and handed
 * in once; from then on the browser keeps it as a cookie.
 */
import { show } from '../lib/page.js';

export function start() {
  const form = document.querySelector('form[data-hand-in]');
  const secret = location.hash.slice(1);
  if (!(form instanceof HTMLFormElement) || !secret) return;
  const field = form.elements.namedItem('link');
  if (!(field instanceof HTMLInputElement)) return;
  field.type = 'text';
  field.value = secret;
  history.replaceState(null, '', location.pathname);
  show('[data-opening]', true);
  form.submit();
}
