// @ts-check
/**
 * What tonight is good for: worked out with the plan at the garage, read here without signal.
 */
import { startUnder } from '../ui/under.js';

/** @param {import('../lib/page.js').Page} page */
export async function start(page) {
  await startUnder(page);
}
