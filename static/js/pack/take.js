// @ts-check
/**
 * Taking a car under the car: everything its pages need, on this phone, before it goes where there is no signal.
 *
 * Pages lie in a cache of their version, `pack-<car>-<version>`; pictures in `pictures-<car>`, because they are named by
 * their content and serve every version. A version becomes the current one only when all of it is there: then the
 * pointer in the cache `underlamp-meta` is written, which is what the service worker reads. Stopped half-way, what is
 * fetched already is used the next time. Pages come together (`pages.js`), files and pictures one by one.
 *
 * @typedef {import('../lib/db.js').Pack} Pack
 * @typedef {{url: string, bytes: number, tag: string}} Thing
 *
 * @typedef {object} Manifest the answer of `/sync/pack/<car>`
 * @property {string} version
 * @property {number} as_of
 * @property {string} build
 * @property {Thing[]} pages
 * @property {(Thing|string)[]} assets
 * @property {Thing[]} pictures
 *
 * @typedef {object} Progress
 * @property {number} done things
 * @property {number} total
 * @property {number} bytes
 * @property {number} bytesTotal
 *
 * What is told to `underlamp:pack`. `newer`: the copy was refreshed behind this page, which still shows the old one.
 * @typedef {{car: string, phase: 'taking', progress: Progress}|{car: string, phase: 'taken'|'newer', pack: Pack}} PackNews
 */
import { tell } from '../lib/bus.js';
import { read, write } from '../lib/db.js';
import { call, Pause } from '../outbox/server.js';
import { bringPages, cutOff, store } from './pages.js';
import { pull } from './pull.js';

/** Requests at once. */
const AT_ONCE = 4;
/** Tries for each thing before the whole is left for later. */
const TRIES = 3;
const META = 'underlamp-meta';
const POINTER = '/packs';

/**
 * Takes the whole car, or what is missing of it.
 * @param {string} car
 * @param {(progress: Progress) => void} [onProgress]
 * @returns {Promise<Pack>} throws with words; trying again goes on from there
 */
export async function take(car, onProgress = () => {}) {
  if (!globalThis.caches) throw new Error('This address cannot keep a copy: it is not a secure one.');
  const granted = await askToKeep();
  const manifest = await askManifest(car);
  await pull(car);
  const pack = await fill(car, manifest, granted, onProgress);
  tell('pack', { car, phase: 'taken', pack });
  return pack;
}

/** @param {string} car @returns {Promise<Manifest>} */
export async function askManifest(car) {
  return (await call(`/sync/pack/${car}`, { timeout: 60_000 })).body;
}

/** @param {string} car @returns {Promise<Pack|null>} the copy on this phone; null when there is none */
export async function packOf(car) {
  return (await read(['packs'], (tx) => tx.objectStore('packs').get(car))) ?? null;
}

/** @returns {Promise<Pack[]>} the copies of all cars on this phone */
export function allPacks() {
  return read(['packs'], (tx) => tx.objectStore('packs').getAll());
}

/** Room in the browser's store, in bytes, where it says. */
export async function room() {
  const found = await navigator.storage?.estimate?.().catch(() => null);
  return { used: found?.usage ?? null, of: found?.quota ?? null };
}

/**
 * Fetches what is missing and makes it the current copy. One at a time, also across tabs.
 * @param {string} car
 * @param {Manifest} manifest
 * @param {boolean|null} granted
 * @param {(progress: Progress) => void} onProgress
 * @returns {Promise<Pack>}
 */
export async function fill(car, manifest, granted, onProgress) {
  const work = () => fillAlone(car, manifest, granted, onProgress);
  return navigator.locks ? await navigator.locks.request('underlamp-pack', work) : await work();
}

/**
 * @param {string} car
 * @param {Manifest} manifest
 * @param {boolean|null} granted
 * @param {(progress: Progress) => void} onProgress
 */
async function fillAlone(car, manifest, granted, onProgress) {
  const old = await packOf(car);
  const name = `pack-${car}-${manifest.version}`;
  const [pages, pictures, shell] = await Promise.all([
    caches.open(name),
    caches.open(`pictures-${car}`),
    caches.open(`shell-${manifest.build}`),
  ]);
  const before =
    old && old.cache !== name && (await caches.has(old.cache)) ? await caches.open(old.cache) : null;
  const assets = manifest.assets.map((asset) =>
    typeof asset === 'string' ? { url: asset, bytes: 0, tag: '' } : { ...asset, tag: '' },
  );
  const jobs = [
    ...assets.map((thing) => ({ thing, into: shell })),
    ...manifest.pictures.map((thing) => ({ thing, into: pictures })),
  ];
  const all = [...assets, ...manifest.pages, ...manifest.pictures];
  const progress = {
    done: 0,
    total: all.length,
    bytes: 0,
    bytesTotal: all.reduce((sum, { bytes }) => sum + bytes, 0),
  };
  const have = (/** @type {Thing} */ thing) => {
    progress.done += 1;
    progress.bytes += thing.bytes;
    onProgress({ ...progress });
    tell('pack', { car, phase: 'taking', progress: { ...progress } });
  };
  await bringPages(car, manifest.pages, { old: before, into: pages }, have);
  await inParallel(jobs, async ({ thing, into }) => {
    await bring(thing, into);
    have(thing);
  });
  const pack = {
    car,
    version: manifest.version,
    build: manifest.build,
    as_of: manifest.as_of,
    complete: true,
    cache: name,
    items: all.length,
    bytes: progress.bytesTotal,
    granted: granted ?? old?.granted ?? null,
  };
  await write(['packs'], (tx) => tx.objectStore('packs').put(pack));
  await point();
  await sweep(car, name, manifest.pictures);
  return pack;
}

/**
 * @template T
 * @param {T[]} jobs
 * @param {(job: T) => Promise<void>} work
 */
async function inParallel(jobs, work) {
  const queue = [...jobs];
  let failed = false;
  const hand = async () => {
    for (let job = queue.shift(); job && !failed; job = queue.shift()) {
      await work(job).catch((error) => {
        failed = true;
        throw error;
      });
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, hand));
}

/**
 * Makes sure that a file or a picture is in its cache. Its address names its content, so that any that is there will do.
 * @param {Thing} thing
 * @param {Cache} into
 */
async function bring({ url }, into) {
  if (!(await into.match(url))) await store(into, url, await fetchThing(url));
}

/**
 * @param {string} url
 * @returns {Promise<Response>}
 */
async function fetchThing(url) {
  for (let tries = 1; ; tries++) {
    try {
      const response = await fetch(url, { credentials: 'same-origin', redirect: 'error', cache: 'no-cache' });
      if (response.status === 200) return await whole(response);
      if (response.status < 500) throw new Pause('wait', `The copy lacks ${url} (${response.status}).`);
    } catch (error) {
      if (error instanceof Pause) throw error;
      if (tries === TRIES) break;
    }
    if (tries === TRIES) break;
    await new Promise((go) => setTimeout(go, 500 * tries));
  }
  throw cutOff();
}

/**
 * The same answer, read to the end first, so that nothing half is ever stored.
 * @param {Response} response
 */
async function whole(response) {
  const body = await response.arrayBuffer();
  const headers = new Headers(response.headers);
  headers.delete('content-encoding');
  headers.delete('content-length');
  return new Response(body, { status: 200, headers });
}

/**
 * Writes down for the service worker which copies are current, the newest first. One write, so it is the old list or
 * the new one. Also mends the pointer when the page was closed just before it was written.
 */
export async function point() {
  const list = (await allPacks())
    .filter(({ complete }) => complete)
    .sort((a, b) => b.as_of - a.as_of)
    .map(({ car, cache, build }) => ({ car, cache, build }));
  const meta = await caches.open(META);
  await meta.put(
    POINTER,
    new Response(JSON.stringify(list), { headers: { 'content-type': 'application/json' } }),
  );
}

/**
 * Whether the service worker has a copy to show. The pointer outlives the store when only that was erased.
 * @returns {Promise<boolean>}
 */
export async function isPointedAt() {
  const found = await globalThis.caches?.match(POINTER, { cacheName: META });
  return found ? (await found.json()).length > 0 : false;
}

/**
 * Deletes what no longer belongs to the car's current copy.
 * @param {string} car
 * @param {string} current
 * @param {Thing[]} wanted
 */
async function sweep(car, current, wanted) {
  for (const name of await caches.keys()) {
    if (name.startsWith(`pack-${car}-`) && name !== current) await caches.delete(name);
  }
  const pictures = await caches.open(`pictures-${car}`);
  const urls = new Set(wanted.map(({ url }) => new URL(url, location.origin).href));
  for (const request of await pictures.keys()) if (!urls.has(request.url)) await pictures.delete(request);
}

/** @returns {Promise<boolean|null>} what the browser says to the wish that it keeps our store */
export async function askToKeep() {
  if (!navigator.storage?.persist) return null;
  return navigator.storage.persist().catch(() => null);
}

/** Takes every copy off this phone, when it is un-paired. What waits to be sent stays. */
export async function forgetPacks() {
  await write(['packs'], (tx) => tx.objectStore('packs').clear());
  const worker = await navigator.serviceWorker?.getRegistration();
  worker?.active?.postMessage('forget');
}
