// @ts-check
/**
 * Small changes to the page. Nothing is touched that is as it should be: writing costs layout, also when nothing changes.
 */

/**
 * @param {Element} element
 * @param {string} words
 */
export function say(element, words) {
  if (element.textContent !== words) element.textContent = words;
}

/**
 * @param {HTMLElement} element
 * @param {boolean} on
 */
export function reveal(element, on) {
  if (element.hidden === on) element.hidden = !on;
}

/**
 * @param {Element} element
 * @param {string} name
 * @param {string|null} value null takes the attribute away
 */
export function attr(element, name, value) {
  if (element.getAttribute(name) === value) return;
  if (value === null) element.removeAttribute(name);
  else element.setAttribute(name, value);
}

/**
 * The element within that matches; its absence is a mistake in the template.
 * @param {string} selector
 * @param {ParentNode} [within]
 * @returns {HTMLElement}
 */
export function one(selector, within = document) {
  const found = within.querySelector(selector);
  if (!(found instanceof HTMLElement)) throw new Error(`The page has no ${selector}.`);
  return found;
}

/**
 * A copy of what stands in `<template data-template="name">`.
 * @param {string} name
 * @returns {HTMLElement}
 */
export function fresh(name) {
  const template = document.querySelector(`template[data-template="${name}"]`);
  const first = template instanceof HTMLTemplateElement ? template.content.firstElementChild : null;
  if (!first) throw new Error(`The page has no template ${name}.`);
  return /** @type {HTMLElement} */ (first.cloneNode(true));
}

/**
 * Sets the mark which an `<i class="mark mark--…">` shows.
 * @param {Element} mark
 * @param {string} name
 */
export function setMark(mark, name) {
  attr(mark, 'class', `mark mark--${name}`);
}

/**
 * A mark beside words.
 * @param {string} name
 */
export function mark(name) {
  const element = document.createElement('i');
  element.setAttribute('aria-hidden', 'true');
  setMark(element, name);
  return element;
}
