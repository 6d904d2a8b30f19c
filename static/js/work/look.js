// @ts-check
/**
 * A look at a fluid in words, as the server tells it: both run `tests/vectors/looks.json`. Pure.
 *
 * The words of every name by set, as pages carry them.
 * @typedef {Record<string, Record<string, string>>} Words
 */

/**
 * @param {{fluid: string, colour: string, smell: string, particles: string}} body
 * @param {Words} words a name that has none stands for itself
 */
export function lookWords(body, words) {
  const of = (/** @type {'fluid'|'colour'|'smell'|'particles'} */ set) =>
    words[set]?.[body[set]] ?? body[set];
  const fluid = of('fluid');
  const parts = [of('colour')];
  if (body.smell !== 'plain') parts.push(`smells ${of('smell')}`);
  if (body.particles !== 'none') parts.push(of('particles'));
  return `${fluid.charAt(0).toUpperCase()}${fluid.slice(1)}: ${parts.join(', ')}`;
}

/**
 * A look out of what was chosen. A fluid is named by its kind, with the id of its spec behind a blank where it has one.
 * @param {{fluid: string, colour: string, smell: string, particles: string, note: string}} chosen
 * @returns {import('./op.js').Do|null} null while one of the senses is missing
 */
export function lookOf({ fluid, colour, smell, particles, note }) {
  const [kind] = fluid.split(' ');
  if (!kind || !colour || !smell || !particles) return null;
  return { 'fluid-look': { fluid: kind, colour, smell, particles, note } };
}

/**
 * A fluid of the spec book is its spec; another is the car's.
 * @param {string} fluid
 * @param {string} car
 * @returns {{card: null, on: import('./op.js').Subject}}
 */
export function ofFluid(fluid, car) {
  const [, spec] = fluid.split(' ');
  return { card: null, on: spec ? { spec } : { car } };
}
