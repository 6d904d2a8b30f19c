// @ts-check
/**
 * Where loose ends are on the car, and what its wheels stand on: for the picture of the car from above. Pure.
 *
 * Where a thing of a card is, the server has written beside its key (`zones` in `data-json="effects"`); what was noted by
 * hand is where its words say. The same rule as the server's `trade/place.rs` and `web/car_picture.rs`; both run
 * `tests/vectors/place.json`.
 *
 * `hand`: the zones which can be chosen by name, and words that say where when neither end nor side is named.
 * @typedef {{labels: Record<string, string>, words: [string[], string][]}} Places
 */

/** @typedef {'wheels'|'jack'|'stands'|'off'} Wheel */

/** @type {Record<Wheel, string>} */
export const WHEEL_WORDS = {
  wheels: 'on its wheel',
  jack: 'on the jack',
  stands: 'on stands',
  off: 'wheel off',
};

export const CORNERS = ['front-left', 'front-right', 'rear-left', 'rear-right'];

/** What holds a corner; the later counts before the earlier. @type {[string, Wheel][]} */
const HELD_BY = [
  ['jacked:', 'jack'],
  ['stands:', 'stands'],
  ['wheel-off:', 'off'],
];

/** @param {string} name @returns {string} the zone that its ends and sides name; '' where it names none */
function bySides(name) {
  const ends = [name.includes('front'), name.includes('rear')];
  const left = name.includes('left') || name.includes('n/s');
  const right = name.includes('right') || name.includes('o/s');
  const end = ends[0] === ends[1] ? '' : ends[0] ? 'front' : 'rear';
  const side = left === right ? '' : left ? 'left' : 'right';
  // Both ends and a side say nothing that could be shown.
  if (ends[0] && ends[1]) return '';
  return [end, side].filter(Boolean).join('-');
}

/** @param {string} text @param {Places} places */
function zoneOf(text, places) {
  const name = text.toLowerCase();
  const named = bySides(name);
  if (named) return named;
  return places.words.find(([words]) => words.some((word) => name.includes(word)))?.[1] ?? 'car';
}

/** @param {string} words @param {string} where @param {Places} places */
export function zoneOfHand(words, where, places) {
  const chosen = Object.entries(places.labels).find(([, label]) => label === where.trim());
  if (chosen) return chosen[0];
  const zone = zoneOf(where, places);
  if (zone !== 'car') return zone;
  // In words about what was undone, ‘left loose’ is no side of the car.
  return zoneOf(words.toLowerCase().replaceAll('left loose', '').replaceAll('left off', ''), places);
}

/**
 * @param {import('./ledger.js').LooseEnd} end
 * @param {Record<string, string>} zones of things, by key: `zones` in `data-json="effects"`
 * @param {Places} places
 */
export function zoneOfEnd({ key, words, where }, zones, places) {
  return key.startsWith('hand:') ? zoneOfHand(words, where, places) : (zones[key] ?? 'car');
}

/** The corners that a name speaks of: an end has two, and what names neither end nor side is all four. @param {string} zone */
function cornersOf(zone) {
  if (CORNERS.includes(zone)) return [zone];
  const part = zone === 'engine-bay' ? 'front' : zone;
  const found = CORNERS.filter((corner) => corner.split('-').includes(part));
  return found.length ? found : CORNERS;
}

/**
 * What each wheel stands on.
 * @param {Iterable<string>} facts what is true of the car
 * @param {Places} places
 * @returns {Record<string, Wheel>} by corner
 */
export function wheels(facts, places) {
  /** @type {Record<string, Wheel>} */
  const found = Object.fromEntries(CORNERS.map((corner) => [corner, 'wheels']));
  const known = [...facts];
  for (const [beginning, wheel] of HELD_BY) {
    for (const fact of known.filter((one) => one.startsWith(beginning))) {
      for (const corner of cornersOf(zoneOf(fact.slice(beginning.length), places))) found[corner] = wheel;
    }
  }
  return found;
}
