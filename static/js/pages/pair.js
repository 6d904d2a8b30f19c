// @ts-check
/**
 * Pairing: a scanned address carries the code behind `#`, where no server sees it. It is put into its field and taken out of
 * the address, and the kind is guessed from how this device is touched.
 */

export function start() {
  const form = document.querySelector('form[data-pair]');
  if (!(form instanceof HTMLFormElement)) return;
  const code = decodeURIComponent(location.hash.slice(1));
  const field = form.elements.namedItem('code');
  if (code && field instanceof HTMLInputElement) {
    field.value = code;
    history.replaceState(null, '', location.pathname);
  }
  if (!matchMedia('(pointer: coarse)').matches) return;
  const phone = form.querySelector('input[name="kind"][value="phone"]');
  if (phone instanceof HTMLInputElement) phone.checked = true;
}
