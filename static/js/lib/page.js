// @ts-check
/**
 * What the server wrote into the page, and the few things every page does with its elements.
 *
 * @typedef {object} Page
 * @property {string} name module under `pages/`; '' for none
 * @property {string} build
 * @property {string} device '' when this browser is not paired
 * @property {string} car '' when the page is about no car
 * @property {string} canonical the one address this garage has, '' when it does not mind
 * @property {boolean} kept the server remembers that this device once stored something
 */

/** @returns {Page} */
export function readPage() {
  const data = document.body.dataset;
  return {
    name: data.page ?? '',
    build: data.build ?? '',
    device: data.device ?? '',
    car: data.car ?? '',
    canonical: data.canonical ?? '',
    kept: data.kept === '1',
  };
}

/**
 * Data which the server put into `<script type="application/json" data-json="name">`.
 * @param {string} name
 * @returns {any} null when the page has none
 */
export function pageJson(name) {
  const element = document.querySelector(`script[data-json="${name}"]`);
  return element ? JSON.parse(element.textContent || 'null') : null;
}

/**
 * @param {string} selector
 * @param {ParentNode} [within]
 * @returns {HTMLElement[]}
 */
export function all(selector, within = document) {
  return Array.from(/** @type {NodeListOf<HTMLElement>} */ (within.querySelectorAll(selector)));
}

/**
 * Shows or hides everything that matches.
 * @param {string} selector
 * @param {boolean} on
 */
export function show(selector, on) {
  for (const element of all(selector)) element.hidden = !on;
}

/**
 * Writes words into everything that matches; touches nothing when they are there already.
 * @param {string} selector
 * @param {string} words
 */
export function write(selector, words) {
  for (const element of all(selector)) if (element.textContent !== words) element.textContent = words;
}

/**
 * Calls back when something matching is clicked, also when it is put into the page later.
 * @param {string} selector
 * @param {(element: HTMLElement, event: Event) => void} act
 */
export function onTap(selector, act) {
  document.addEventListener('click', (event) => {
    const at = event.target instanceof Element ? event.target.closest(selector) : null;
    if (at instanceof HTMLElement) act(at, event);
  });
}
