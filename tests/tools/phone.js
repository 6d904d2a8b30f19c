/**
 * A phone for tests: an IndexedDB in memory, locks, caches, and any number of tabs, each with its own modules.
 */
import { webcrypto } from 'node:crypto';
import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { FakeServer } from './fake-server.js';

export const CAR = '0190a1b2-0000-7000-8000-000000000ca0';
export const CARD = '0190a1b2-0000-7000-8000-000000000cd1';
export const STEP = '0190a1b2-0000-7000-8000-000000000501';
export const DEVICE = '0b2f0a10-0000-4000-8000-00000000000a';

globalThis.crypto ??= /** @type {any} */ (webcrypto);
globalThis.CustomEvent ??= /** @type {any} */ (
  class extends Event {
    /** @param {string} name @param {any} init */
    constructor(name, init) {
      super(name);
      this.detail = init?.detail;
    }
  }
);

let tabs = 0;

/** @returns {Promise<any>} the modules of one tab */
export async function openTab() {
  tabs += 1;
  const load = (/** @type {string} */ path) => import(`../../static/js/${path}?tab=${tabs}`);
  const paths = [
    'lib/db.js',
    'lib/bus.js',
    'outbox/clock.js',
    'outbox/record.js',
    'outbox/photos.js',
    'outbox/bytes.js',
    'outbox/flush.js',
    'outbox/waiting.js',
    'outbox/report.js',
    'outbox/car.js',
    'outbox/drafts.js',
    'outbox/server.js',
    'pack/pull.js',
    'pack/take.js',
    'pack/fresh.js',
    'ui/lost-storage.js',
    'ui/new-build.js',
  ];
  const modules = await Promise.all(paths.map(load));
  const tab = Object.assign({}, ...modules);
  await tab.wake(DEVICE);
  return tab;
}

/** A phone with nothing on it, and a server. @returns {Promise<{server: FakeServer, tab: any}>} */
export async function newPhone() {
  globalThis.indexedDB = new IDBFactory();
  Object.defineProperty(globalThis, 'navigator', {
    value: { locks: new Locks(), userAgent: 'test' },
    configurable: true,
    writable: true,
  });
  const server = new FakeServer();
  globalThis.fetch = /** @type {any} */ (server.fetch);
  return { server, tab: await openTab() };
}

/** Web Locks, as far as the phone uses them. */
class Locks {
  /** @type {Map<string, Promise<unknown>>} */
  held = new Map();

  /** @param {string} name @param {any} options @param {any} [work] */
  async request(name, options, work = options) {
    while (this.held.has(name)) {
      if (options.ifAvailable) return work(null);
      await this.held.get(name);
    }
    const done = (async () => work({ name }))();
    this.held.set(
      name,
      done.catch(() => {}),
    );
    return done.finally(() => this.held.delete(name));
  }
}

/** Caches in memory, as far as the phone and its worker use them. */
export class FakeCaches {
  /** @type {Map<string, FakeCache>} */
  all = new Map();
  async open(/** @type {string} */ name) {
    const found = this.all.get(name) ?? new FakeCache();
    this.all.set(name, found);
    return found;
  }
  async has(/** @type {string} */ name) {
    return this.all.has(name);
  }
  async keys() {
    return [...this.all.keys()];
  }
  async delete(/** @type {string} */ name) {
    return this.all.delete(name);
  }
  async match(/** @type {any} */ request, /** @type {any} */ { cacheName }) {
    return this.all.get(cacheName)?.match(request);
  }
}

class FakeCache {
  /** @type {Map<string, Response>} */
  all = new Map();
  async match(/** @type {any} */ request) {
    return this.all.get(address(request))?.clone();
  }
  async put(/** @type {any} */ request, /** @type {Response} */ response) {
    this.all.set(address(request), response);
  }
  async delete(/** @type {any} */ request) {
    return this.all.delete(address(request));
  }
  async keys() {
    return [...this.all.keys()].map((url) => ({ url }));
  }
}

/** @param {any} request */
function address(request) {
  return new URL(typeof request === 'string' ? request : request.url, 'https://garage.test').href;
}

/** Everything that happened to operations. @param {any} tab */
export function listen(tab) {
  /** @type {any[]} */
  const heard = [];
  tab.hear('changed', (/** @type {any} */ detail) => heard.push(detail));
  return heard;
}

/** @param {any} tab @param {string} state */
export function stored(tab, state) {
  return tab.read(['ops'], (/** @type {any} */ tx) => tab.opsIn(tx, state));
}

/** @param {'done'|'open'|'skipped'} state */
export function tickOf(state, step = STEP) {
  return { car: CAR, card: CARD, on: { step }, do: { tick: { state } } };
}

/** @param {string} text */
export function noteOf(text) {
  return { car: CAR, card: CARD, on: { step: STEP }, do: { note: { text } } };
}
