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
