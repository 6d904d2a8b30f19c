// @ts-check
/**
 * The only sender. Says when to send, keeps two tabs from sending at once, waits longer after each failure, and keeps
 * the {@link Status} that the pages show (`underlamp:outbox`).
 *
 * @typedef {object} Status
 * @property {number} waiting operations that the server does not have yet
 * @property {number} sending operations in the request under way
 * @property {number} refused operations and photos that need a look
 * @property {number} photosWaiting
 * @property {{sha: string, offset: number, bytes: number}|null} photo the one under way
 * @property {number|null} lastContact milliseconds, by this phone's own clock
 * @property {string} lastError in words, '' when the last try went well
 * @property {boolean|null} reachable null: not tried yet
 * @property {boolean} paired false: the server asks for pairing; everything is kept
 * @property {boolean} busy
 * @property {number|null} nextTry milliseconds
 */
import { wait } from '../lib/backoff.js';
import { hear, tell } from '../lib/bus.js';
import { getMeta, headsIn, opsIn, read, setMeta } from '../lib/db.js';
import { sendOps } from './send.js';
import { greet, Pause } from './server.js';
import { sendPhotos } from './upload.js';

/** Several taps in a row travel together. Milliseconds. */
const GATHER = 250;
/** While the page is visible and all is well, milliseconds. */
const HEARTBEAT = 45_000;
/** Another tab is sending: look again. Milliseconds. */
const ELSEWHERE = 2_000;

/** @type {Status} */
const status = {
  waiting: 0,
  sending: 0,
  refused: 0,
  photosWaiting: 0,
  photo: null,
  lastContact: null,
  lastError: '',
  reachable: null,
  paired: true,
  busy: false,
  nextTry: null,
};

let started = false;
/** Whether this page has been told who it is to the server. */
let greeted = false;
let failures = 0;
/** @type {Promise<void>|null} */
let running = null;
let again = false;
/** @type {ReturnType<typeof setTimeout>|undefined} */
let timer;
/** @type {(() => Promise<unknown>)[]} */
const afterwards = [];

/** How it stands. @returns {Status} */
export function outboxStatus() {
  return { ...status };
}

/**
 * Done after every round that reached the server: pulling, refreshing the copy.
 * @param {() => Promise<unknown>} work may throw {@link Pause}
 */
export function afterSending(work) {
  afterwards.push(work);
}

/** Sends now, because the person asked: waits are forgotten. */
export function sendNow() {
  failures = 0;
  status.paired = true;
  return flush();
}

/**
 * One round: operations, photos, and what comes afterwards. Asked for while one is under way, there will be another.
 * @returns {Promise<void>} never throws; see `lastError`
 */
export function flush() {
  if (running) {
    again = true;
    return running;
  }
  running = alone().finally(() => {
    running = null;
    if (!again) return;
    again = false;
    plan(GATHER);
  });
  return running;
}

async function alone() {
  clearTimeout(timer);
  // Without locks (an insecure address) there is also no worker and no second tab worth guarding against.
  if (!globalThis.navigator?.locks) return round();
  await navigator.locks.request('underlamp-outbox', { ifAvailable: true }, async (lock) => {
    if (lock) return round();
    await recount().catch(() => {});
    plan(ELSEWHERE);
  });
}

async function round() {
  set({ busy: true, nextTry: null });
  let error = '';
  try {
    await recount();
    const idle = status.waiting + status.photosWaiting === 0;
    if (idle) await greet();
    await sendOps((sending) => set({ sending }));
    await sendPhotos((photo) => set({ photo }));
    // Once for each page, also when there is always something to send: it may have been paired again.
    if (!idle && !greeted) await greet();
    greeted = true;
    failures = 0;
    const lastContact = Date.now();
    set({ reachable: true, paired: true, lastContact });
    await setMeta('last_contact', lastContact);
    for (const work of afterwards) await work();
  } catch (caught) {
    error = failed(caught);
  }
  await recount().catch(() => {});
  set({ busy: false, sending: 0, lastError: error });
  if (!status.paired) return;
  plan(failures ? wait(failures, Math.random()) : status.waiting + status.photosWaiting ? GATHER : HEARTBEAT);
}

/** @param {unknown} caught @returns {string} in words */
function failed(caught) {
  failures += 1;
  if (!(caught instanceof Pause)) {
    // The phone's own store, or a mistake of ours: the server is not to blame.
    return caught instanceof Error ? caught.message : String(caught);
  }
  set({ reachable: caught.reached, paired: caught.why !== 'pair' });
  return caught.message;
}

/** @param {number} delay milliseconds */
function plan(delay) {
  clearTimeout(timer);
  if (!started || document.visibilityState === 'hidden') return;
  set({ nextTry: Date.now() + delay });
  timer = setTimeout(flush, delay);
}

/** Counts again what waits. */
export async function recount() {
  const counts = await read(['ops', 'photo_bytes'], async (tx) => ({
    waiting: await countOps(tx, 'waiting'),
    refused: (await opsIn(tx, 'refused')).filter(({ seen }) => !seen).length,
    photosWaiting: (await headsIn(tx, 'waiting')).length,
    photosRefused: (await headsIn(tx, 'refused')).length,
  }));
  const { photosRefused, ...rest } = counts;
  set({ ...rest, refused: rest.refused + photosRefused });
}

/** @param {import('../lib/db.js').Tx} tx @param {string} state @returns {Promise<number>} */
function countOps(tx, state) {
  return tx
    .objectStore('ops')
    .index('state_hlc')
    .count(IDBKeyRange.bound([state], [state, []]));
}

/** @param {Partial<Status>} change */
function set(change) {
  Object.assign(status, change);
  tell('outbox', { ...status });
}

/** Begins: now, after each save, when the network or the page comes back, and on a timer while visible. */
export async function startSending() {
  if (started) return;
  started = true;
  const fresh = () => {
    failures = 0;
    flush();
  };
  hear('changed', ({ phase, elsewhere }) => {
    if (phase === 'saving') return;
    recount().catch(() => {});
    if (phase !== 'saved' && phase !== 'reload') return;
    if (!elsewhere && status.paired) plan(GATHER);
  });
  addEventListener('online', fresh);
  addEventListener('pageshow', fresh);
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') fresh();
  });
  set({ lastContact: (await getMeta('last_contact').catch(() => null)) ?? null });
  await flush();
}
