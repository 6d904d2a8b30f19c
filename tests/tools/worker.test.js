/** The service worker, run as the server would serve it, in a context of its own. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { createContext, runInContext } from 'node:vm';
import { FakeCaches } from './phone.js';

const SCRIPT = readFileSync(new URL('../../static/sw.js', import.meta.url), 'utf8');
const ORIGIN = 'https://garage.test';

/** @param {{build?: string, caches?: FakeCaches, fetch?: (url: string) => any}} [world] */
function startWorker({
  build = 'b2',
  caches = new FakeCaches(),
  fetch = (url) => page(`from the server: ${url}`),
} = {}) {
  /** @type {Record<string, (event: any) => void>} */
  const on = {};
  const calls = /** @type {string[]} */ ([]);
  const self = {
    addEventListener: (/** @type {string} */ name, /** @type {any} */ act) => {
      on[name] = act;
    },
    location: { origin: ORIGIN },
    skipWaiting: async () => calls.push('skipWaiting'),
    clients: { claim: async () => calls.push('claim') },
  };
  const asked = /** @type {string[]} */ ([]);
  const waits = /** @type {number[]} */ ([]);
  const context = createContext({
    self,
    caches,
    URL,
    Response,
    AbortController,
    setTimeout: (/** @type {() => void} */ act, /** @type {number} */ delay) => {
      waits.push(delay);
      return setTimeout(act, delay / 100);
    },
    clearTimeout,
    fetch: async (/** @type {any} */ request, /** @type {any} */ init) => {
      const url = typeof request === 'string' ? request : request.url.slice(ORIGIN.length);
      asked.push(url);
      return fetch.call(init?.signal, url);
    },
  });
  const shell = [`/a/${build}/css/base.css`, `/a/${build}/js/boot.js`, '/offline'];
  runInContext(`const BUILD = "${build}";\nconst SHELL = ${JSON.stringify(shell)};\n${SCRIPT}`, context);
  const extended = async (/** @type {string} */ name, event = {}) => {
    let work = Promise.resolve();
    on[name]({ ...event, waitUntil: (/** @type {Promise<void>} */ promise) => (work = promise) });
    await work;
  };
  return {
    caches,
    calls,
    asked,
    waits,
    install: () => extended('install'),
    activate: () => extended('activate'),
    message: (/** @type {string} */ data) => extended('message', { data }),
    /** What the worker answers, or null when it leaves it to the browser. */
    get: async (/** @type {string} */ path, more = {}) => {
      let answer = null;
      const url = path.startsWith('http') ? path : ORIGIN + path;
      const request = { url, method: 'GET', mode: 'navigate', ...more };
      on.fetch({ request, respondWith: (/** @type {any} */ promise) => (answer = promise) });
      const response = /** @type {any} */ (await answer);
      return response ? response.text() : null;
    },
  };
}

/** @param {string} text @param {any} [more] */
function page(text, more = {}) {
  const response = new Response(text, { status: more.status ?? 200 });
  Object.defineProperty(response, 'type', { value: 'basic' });
  if (more.redirected) Object.defineProperty(response, 'redirected', { value: true });
  return response;
}

const down = () => {
  throw new TypeError('Failed to fetch');
};

/** @param {FakeCaches} caches @param {string} car @param {string} build @param {string[]} pages */
async function keepCopy(caches, car, build, pages) {
  const cache = await caches.open(`pack-${car}-v1`);
  for (const url of pages) await cache.put(url, page(`copy of ${car}: ${url}`));
  const meta = await caches.open('underlamp-meta');
  const old = await (await meta.match('/packs'))?.json();
  await meta.put('/packs', page(JSON.stringify([...(old ?? []), { car, cache: `pack-${car}-v1`, build }])));
}

test('it is installed with the whole shell', async () => {
  const worker = startWorker();
  await worker.install();
  assert.deepEqual(await (await worker.caches.open('shell-b2')).keys().then((all) => all.length), 3);
});

for (const [name, bad] of /** @type {[string, any][]} */ ([
  ['missing', { status: 404 }],
  ['redirected', { redirected: true }],
])) {
  test(`one ${name} file fails the installation and leaves nothing behind`, async () => {
    const worker = startWorker({ fetch: (url) => page(url, url === '/offline' ? bad : {}) });
    await assert.rejects(worker.install());
    assert.deepEqual(await worker.caches.keys(), []);
  });
}

test('it takes over when asked, and never by itself', async () => {
  const worker = startWorker();
  await worker.install();
  await worker.activate();
  assert.deepEqual(worker.calls, ['claim']);
  await worker.message('switch');
  assert.deepEqual(worker.calls, ['claim', 'skipWaiting']);
});

test('shells of older builds go at activation, but for the one that a copy was made with', async () => {
  const caches = new FakeCaches();
  for (const build of ['b0', 'b1']) {
    const shell = await caches.open(`shell-${build}`);
    await shell.put(`/a/${build}/css/base.css`, page(`style of ${build}`));
  }
  await keepCopy(caches, 'car1', 'b1', ['/under/car1']);
  const worker = startWorker({ caches, fetch: (url) => page(url) });
  await worker.install();
  await worker.activate();
  assert.deepEqual((await caches.keys()).sort(), ['pack-car1-v1', 'shell-b1', 'shell-b2', 'underlamp-meta']);
  assert.equal(await worker.get('/a/b1/css/base.css', { mode: 'no-cors' }), 'style of b1');
  assert.equal(await worker.get('/a/b2/css/base.css', { mode: 'no-cors' }), '/a/b2/css/base.css');
});

test('a page of the copy comes from the copy, whether or not the server is there', async () => {
  const worker = startWorker();
  await keepCopy(worker.caches, 'car1', 'b2', ['/under', '/under/car1', '/under/car1/specs']);
  assert.equal(await worker.get('/under/car1/specs?find=oil'), 'copy of car1: /under/car1/specs');
  assert.equal(await worker.get('/under'), 'copy of car1: /under');
  assert.deepEqual(worker.asked, []);
});

test('each car has its own copy', async () => {
  const worker = startWorker();
  await keepCopy(worker.caches, 'car1', 'b2', ['/under', '/under/car1', '/under/waiting']);
  await keepCopy(worker.caches, 'car2', 'b2', ['/under', '/under/car2', '/under/waiting']);
  assert.equal(await worker.get('/under/car2'), 'copy of car2: /under/car2');
  assert.equal(await worker.get('/under'), 'copy of car1: /under');
});

test('a page that is in no copy comes from the server, and without it the page that says so', async () => {
  const worker = startWorker();
  assert.equal(await worker.get('/under/car9'), 'from the server: /under/car9');
  assert.equal(await worker.get('/cars/car9'), 'from the server: /cars/car9');
  const shell = await worker.caches.open('shell-b2');
  await shell.put('/offline', page('not on this phone'));
  const alone = startWorker({ caches: worker.caches, fetch: down });
  assert.equal(await alone.get('/under/car9'), 'not on this phone');
  assert.equal(await alone.get('/cars/car9'), 'not on this phone');
});

test('a server that does not answer is waited for four seconds', async () => {
  const caches = new FakeCaches();
  await (await caches.open('shell-b2')).put('/offline', page('not on this phone'));
  /** @this {AbortSignal} */
  function never() {
    return new Promise((_, fail) => this.addEventListener('abort', () => fail(new Error('aborted'))));
  }
  const worker = startWorker({ caches, fetch: never });
  assert.equal(await worker.get('/under/car9'), 'not on this phone');
  assert.deepEqual(worker.waits, [4000]);
});

test('photos come from the copy first', async () => {
  const worker = startWorker();
  await keepCopy(worker.caches, 'car1', 'b2', []);
  await (await worker.caches.open('pictures-car1')).put('/photos/aa/thumb', page('kept picture'));
  assert.equal(await worker.get('/photos/aa/thumb', { mode: 'no-cors' }), 'kept picture');
  assert.equal(
    await worker.get('/photos/bb/thumb', { mode: 'no-cors' }),
    'from the server: /photos/bb/thumb',
  );
});

for (const [path, more] of /** @type {[string, any][]} */ ([
  ['/sync/hello', {}],
  ['/uploads/aa', {}],
  ['/pair', {}],
  ['/pair/code', {}],
  ['/h/secret', {}],
  ['/h/secret/photos/aa', { mode: 'no-cors' }],
  ['/under/car1', { method: 'POST' }],
  ['/under/car1', { mode: 'cors' }],
  ['https://elsewhere.test/under', {}],
])) {
  test(`${more.method ?? 'GET'} ${path} (${more.mode ?? 'navigate'}) is left to the browser`, async () => {
    const worker = startWorker();
    await keepCopy(worker.caches, 'car1', 'b2', ['/under/car1']);
    assert.equal(await worker.get(path, more), null);
  });
}

test('un-paired, every copy is gone and the shell stays', async () => {
  const worker = startWorker();
  await worker.install();
  await keepCopy(worker.caches, 'car1', 'b2', ['/under/car1']);
  await worker.message('forget');
  assert.deepEqual(await worker.caches.keys(), ['shell-b2']);
});
