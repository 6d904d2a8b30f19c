// @ts-check
/**
 * Keeps the picture of the car from above true: `templates/web/car_picture.html`, in any element with `data-car-picture`.
 */
import { count } from '../lib/when.js';
import { WHEEL_WORDS } from '../work/place.js';
import { attr, one, reveal, say } from './dom.js';

/**
 * @param {HTMLElement} picture
 * @param {string[]} zones of each loose end
 * @param {Record<string, import('../work/place.js').Wheel>} wheels by corner
 */
export function paintCarPicture(picture, zones, wheels) {
  for (const zone of /** @type {NodeListOf<HTMLElement>} */ (picture.querySelectorAll('[data-zone]'))) {
    const code = zone.dataset.zone ?? '';
    const number = zones.filter((one) => one === code).length;
    attr(zone, 'data-count', String(number));
    const badge = one('[data-zone-count]', zone);
    say(badge, String(number));
    reveal(badge, number > 0);
    const row = one(`[data-zone-row="${code}"]`, picture);
    say(one('[data-zone-said]', row), count(number, 'loose end'));
    reveal(row, number > 0);
    if (code in wheels) paintWheel(picture, zone, code, wheels[code]);
  }
}

/** @param {HTMLElement} picture @param {HTMLElement} zone @param {string} code @param {import('../work/place.js').Wheel} wheel */
function paintWheel(picture, zone, code, wheel) {
  attr(one('[data-wheel]', zone), 'data-wheel', wheel);
  say(one('[data-wheel-words]', zone), WHEEL_WORDS[wheel]);
  const row = one(`[data-wheel-row="${code}"]`, picture);
  say(one('[data-wheel-said]', row), WHEEL_WORDS[wheel]);
  reveal(row, wheel !== 'wheels');
}
