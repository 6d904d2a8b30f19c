// @ts-check
/**
 * Keeps what is being typed, so that a reload loses no words.
 */
import { dropDraft, readDraft, saveDraft } from '../outbox/drafts.js';

/** Typing rests this long before it is stored, milliseconds. */
const REST = 400;

/**
 * Puts back what was being typed, and keeps what is typed from now on.
 * @param {HTMLFormElement} form
 * @param {string} key
 * @returns {Promise<boolean>} whether there was something
 */
export async function keepDraft(form, key) {
  /** @type {ReturnType<typeof setTimeout>|undefined} */
  let timer;
  form.addEventListener('input', () => {
    clearTimeout(timer);
    timer = setTimeout(() => void saveDraft(key, typed(form)).catch(() => {}), REST);
  });
  form.addEventListener('reset', () => {
    clearTimeout(timer);
    void dropDraft(key).catch(() => {});
  });
  const kept = await readDraft(key).catch(() => null);
  if (!kept) return false;
  for (const field of fields(form)) if (!field.value && kept[field.name]) field.value = kept[field.name];
  return true;
}

/** @param {HTMLFormElement} form */
function fields(form) {
  return /** @type {(HTMLInputElement|HTMLTextAreaElement)[]} */ (
    [...form.elements].filter(
      (field) =>
        field instanceof HTMLTextAreaElement ||
        (field instanceof HTMLInputElement && (field.type === 'text' || field.type === 'search')),
    )
  );
}

/** @param {HTMLFormElement} form @returns {Record<string, string>} */
function typed(form) {
  return Object.fromEntries(fields(form).map(({ name, value }) => [name, value]));
}

/**
 * A field of a form, as text without blanks around it.
 * @param {HTMLFormElement} form
 * @param {string} name
 */
export function text(form, name) {
  return String(new FormData(form).get(name) ?? '').trim();
}

/**
 * A number as it was typed; the field says so when there is none in it.
 * @param {HTMLFormElement} form
 * @returns {string|null}
 */
export function number(form) {
  const field = /** @type {HTMLInputElement} */ (form.elements.namedItem('number'));
  const value = field.value.trim();
  if (/\d/.test(value)) return value;
  field.setCustomValidity('Type the number that was read off.');
  field.reportValidity();
  field.addEventListener('input', () => field.setCustomValidity(''), { once: true });
  return null;
}
