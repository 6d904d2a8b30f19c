// @ts-check
/**
 * Keeping the copy fresh: while the server is in reach, what changed is fetched behind the page, which is told `newer`.
 */
import { tell } from '../lib/bus.js';
import { getMeta, setMeta } from '../lib/db.js';
import { askManifest, fill, packOf } from './take.js';

/** Not more often than this, milliseconds: the server has to draw every page to answer. */
const PAUSE = 3 * 60_000;

/**
 * @param {string} car
 * @param {{now?: boolean}} [how] `now`: whether or not it was asked lately
 * @returns {Promise<boolean>} whether there is a newer copy now
 */
export async function refresh(car, { now = false } = {}) {
  const have = await packOf(car);
  const asked = (await getMeta(`asked:${car}`)) ?? 0;
  // The phone's clock may have been put back meanwhile, hence the absolute difference.
  if (!have || (!now && Math.abs(Date.now() - asked) < PAUSE)) return false;
  await setMeta(`asked:${car}`, Date.now());
  const manifest = await askManifest(car);
  if (manifest.version === have.version && manifest.build === have.build) return false;
  const pack = await fill(car, manifest, have.granted, () => {});
  tell('pack', { car, phase: 'newer', pack });
  return true;
}
