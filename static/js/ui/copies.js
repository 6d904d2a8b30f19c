// @ts-check
/**
 * Which cars are on this phone, with their names: read off the pages in the copies themselves.
 *
 * @typedef {{car: string, name: string, pack: import('../lib/db.js').Pack}} Copy
 */
import { allPacks } from '../pack/take.js';

/** @returns {Promise<Copy[]>} the newest first */
export async function copiesHere() {
  const whole = (await allPacks()).filter(({ complete }) => complete).sort((a, b) => b.as_of - a.as_of);
  return Promise.all(whole.map(async (pack) => ({ car: pack.car, name: await nameIn(pack), pack })));
}

/** @param {import('../lib/db.js').Pack} pack */
async function nameIn(pack) {
  const found = await caches.match(`/under/${pack.car}`, { cacheName: pack.cache, ignoreVary: true });
  const page = new DOMParser().parseFromString((await found?.text()) ?? '', 'text/html');
  return page.querySelector('[data-car-name]')?.textContent?.trim() || 'A car';
}
