// @ts-check
/**
 * An order in words: copied by one press, where the browser lets pages copy. Without it the words are selected by hand.
 */
import { one, reveal, say } from '../ui/dom.js';

export function start() {
  const field = /** @type {HTMLTextAreaElement} */ (one('[data-order]'));
  const button = one('[data-copy]');
  reveal(button, navigator.clipboard !== undefined);
  button.addEventListener('click', async () => {
    const told = one('[data-copied]');
    try {
      await navigator.clipboard.writeText(field.value);
      say(told, 'Copied.');
    } catch {
      field.select();
      say(told, 'This browser did not let it be copied. The words are selected: copy them by its menu.');
    }
  });
}
