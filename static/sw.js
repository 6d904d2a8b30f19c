// @ts-check
/**
 * The service worker: lets pages start without the server. The server writes two lines on top of this file, `BUILD` and
 * `SHELL` (every file that pages need), so that any change of them changes this script.
 *
 * It answers GET for our own origin only, and never anything under /sync, /uploads, /pair or /h. It stores nothing but
 * the shell, when it is installed; copies of cars are stored by pages (js/pack/take.js), and found here through the list
 * in the cache `underlamp-meta`. It never takes over by itself: a page asks for it with the message `switch`.
 *
 * @typedef {{car: string, cache: string, build: string}} Pointer the current copy of a car
 */

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const MY_SHELL = `shell-${BUILD}`;
const META = 'underlamp-meta';
const POINTER = '/packs';
/** Longest wait for a page that is not on the phone, milliseconds. */
const PATIENCE = 4_000;

worker.addEventListener('install', (event) => event.waitUntil(install()));
worker.addEventListener('activate', (event) => event.waitUntil(activate()));
worker.addEventListener('message', (event) => {
  if (event.data === 'switch') event.waitUntil(worker.skipWaiting());
  if (event.data === 'forget') event.waitUntil(forget());
});
worker.addEventListener('fetch', (event) => {
  const answer = route(event.request);
  if (answer) event.respondWith(answer);
});

/** All or nothing: one file that cannot be had fails the installation, and the older worker stays. */
async function install() {
  const files = await Promise.all(
    SHELL.map(async (url) => {
      const response = await fetch(url, { cache: 'reload', credentials: 'same-origin' });
      if (!storable(response)) throw new Error(`${url} answered ${response.status}`);
      return { url, response };
    }),
  );
  const shell = await caches.open(MY_SHELL);
  await Promise.all(files.map(({ url, response }) => shell.put(url, response)));
}

/** @param {Response} response */
function storable(response) {
  return response.status === 200 && !response.redirected && response.type === 'basic';
}

/** Drops the shells of older builds, but for those that a copy on this phone was made with. */
async function activate() {
  const wanted = new Set([MY_SHELL, ...(await pointers()).map(({ build }) => `shell-${build}`)]);
  for (const name of await caches.keys()) {
    if (name.startsWith('shell-') && !wanted.has(name)) await caches.delete(name);
  }
  await worker.clients.claim();
}

/** Un-paired: what this phone could read, it can read no more. */
async function forget() {
  for (const name of await caches.keys()) if (!name.startsWith('shell-')) await caches.delete(name);
}

/** @returns {Promise<Pointer[]>} newest first */
async function pointers() {
  const found = await caches.match(POINTER, { cacheName: META });
  return found ? found.json() : [];
}

/**
 * @param {Request} request
 * @returns {Promise<Response>|null} null leaves it to the browser
 */
function route(request) {
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== worker.location.origin) return null;
  if (/^\/(sync|uploads|pair|h)(\/|$)/.test(url.pathname)) return null;
  if (url.pathname.startsWith('/a/')) return asset(request);
  if (url.pathname.startsWith('/photos/')) return photo(request);
  if (request.mode !== 'navigate') return null;
  return /^\/under(\/|$)/.test(url.pathname) ? underPage(request, url) : page(request);
}

/** Files of a build never change. @param {Request} request */
async function asset(request) {
  for (const name of await caches.keys()) {
    if (!name.startsWith('shell-')) continue;
    const found = await caches.match(request, { cacheName: name, ignoreVary: true });
    if (found) return found;
  }
  return fetch(request);
}

/** @param {Request} request */
async function photo(request) {
  for (const { car } of await pointers()) {
    const found = await caches.match(request, { cacheName: `pictures-${car}`, ignoreVary: true });
    if (found) return found;
  }
  return fetch(request);
}

/**
 * A page for under the car: out of the current copy of its car, else of any copy, else from the server.
 * @param {Request} request
 * @param {URL} url
 */
async function underPage(request, url) {
  const copies = await pointers();
  copies.sort((a, b) => Number(url.pathname.includes(b.car)) - Number(url.pathname.includes(a.car)));
  for (const { cache } of copies) {
    const found = await caches.match(url.pathname, {
      cacheName: cache,
      ignoreVary: true,
      ignoreSearch: true,
    });
    if (found) return found;
  }
  return page(request, PATIENCE);
}

/**
 * @param {Request} request
 * @param {number} [patience] milliseconds; as long as the browser waits when left out
 */
async function page(request, patience) {
  const ender = new AbortController();
  const timer = patience ? setTimeout(() => ender.abort(), patience) : undefined;
  try {
    return await fetch(request, { signal: ender.signal });
  } catch {
    const offline = await caches.match('/offline', { cacheName: MY_SHELL, ignoreVary: true });
    return offline ?? Response.error();
  } finally {
    clearTimeout(timer);
  }
}
