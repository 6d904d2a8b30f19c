// @ts-check
/**
 * Where the person left off, for each car and each card, kept on this phone.
 *
 * @typedef {object} Place
 * @property {string} card
 * @property {string} title of the card
 * @property {'step'|'list'} view
 * @property {string} step
 * @property {number} n the step's place on its card
 */
import { getMeta, setMeta } from '../lib/db.js';
import { all } from '../lib/page.js';

/** @param {string} car @param {Place} place */
export async function leaveOff(car, place) {
  await setMeta(`left:${car}:${place.card}`, place);
  await setMeta(`left:${car}`, place);
}

/** @param {string} car @param {string} [card] @returns {Promise<Place|null>} */
export async function leftOff(car, card) {
  return (await getMeta(card ? `left:${car}:${card}` : `left:${car}`)) ?? null;
}

/** @param {string} car @param {Place} place */
export function placeUrl(car, place) {
  return `/under/${car}/cards/${place.card}#${place.view === 'list' ? 'list' : `step-${place.n}`}`;
}

/** Lets the word Card at the bottom edge lead where the person left off. @param {string} car */
export async function pointBar(car) {
  const place = await leftOff(car);
  if (!place) return;
  for (const link of all('[data-bar-card]:not([aria-current])')) {
    link.setAttribute('href', placeUrl(car, place));
  }
}
