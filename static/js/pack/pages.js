// @ts-check
/**
 * The pages of a copy: those that changed come in one answer, a page on a line, and each is stored as it arrives. They are
 * much alike, so that together they weigh a third of what they weigh one by one; cut off, the next try asks for the rest.
 *
 * @typedef {import('./take.js').Thing} Thing
 * @typedef {{old: Cache|null, into: Cache}} Shelves the older copy's pages, and where they go
 */
import { StorageError } from '../lib/db.js';
import { Pause } from '../outbox/server.js';

/** Tries in a row that bring nothing before the whole is left for later. */
const TRIES = 3;
/** Longest silence within an answer, milliseconds. */
const SILENCE = 20_000;
/** Under which name a stored answer keeps its tag. */
export const TAG = 'x-underlamp-tag';

/**
 * Brings every page that is neither there nor in the older copy.
 * @param {string} car
 * @param {Thing[]} pages
 * @param {Shelves} shelves
 * @param {(page: Thing) => void} onOne told of each page that is there
 */
export async function bringPages(car, pages, shelves, onOne) {
  /** @type {Map<string, Thing>} */
  const missing = new Map();
  for (const page of pages) {
    if (await isThere(page, shelves)) onOne(page);
    else missing.set(page.url, page);
  }
  for (let tries = 0; missing.size > 0; ) {
    const before = missing.size;
    const whole = await stream(car, missing, shelves.into, onOne);
    const [lacking] = missing.keys();
    if (whole && lacking) throw new Pause('wait', `The copy lacks ${lacking}.`);
    tries = missing.size < before ? 0 : tries + 1;
    if (tries === TRIES) throw cutOff();
    if (missing.size > 0) await new Promise((go) => setTimeout(go, 500 * (tries + 1)));
  }
}

/** The connection went, and what came is kept. */
export function cutOff() {
  return new Pause(
    'wait',
    'The connection was lost. What is here already is kept; take it again to go on.',
    false,
  );
}

/** @param {Thing} page @param {Shelves} shelves */
async function isThere({ url, tag }, { old, into }) {
  if ((await into.match(url))?.headers.get(TAG) === tag) return true;
  const kept = await old?.match(url);
  if (kept?.headers.get(TAG) !== tag) return false;
  await store(into, url, kept);
  return true;
}

/**
 * Asks for what is missing, and takes each page that arrives whole off the list.
 * @param {string} car
 * @param {Map<string, Thing>} missing
 * @param {Cache} into
 * @param {(page: Thing) => void} onOne
 * @returns {Promise<boolean>} false when the answer never came or was cut off
 */
async function stream(car, missing, into, onOne) {
  const ender = new AbortController();
  let timer = setTimeout(() => ender.abort(), SILENCE);
  try {
    const response = await ask(car, [...missing.keys()], ender.signal);
    if (!response) return false;
    for await (const line of lines(response)) {
      clearTimeout(timer);
      timer = setTimeout(() => ender.abort(), SILENCE);
      const { url, body } = JSON.parse(line);
      const page = missing.get(url);
      if (!page) continue;
      await store(into, url, asPage(response, body, page.tag));
      missing.delete(url);
      onOne(page);
    }
    return true;
  } catch (error) {
    if (error instanceof Pause || error instanceof StorageError) throw error;
    console.warn(error);
    return false;
  } finally {
    clearTimeout(timer);
  }
}

/**
 * @param {string} car
 * @param {string[]} urls
 * @param {AbortSignal} signal
 * @returns {Promise<Response|null>} null when it may go better in a moment
 */
async function ask(car, urls, signal) {
  const response = await fetch(`/sync/pack/${car}/pages`, {
    method: 'POST',
    credentials: 'same-origin',
    redirect: 'error',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ urls }),
    signal,
  });
  if (response.status >= 500) return null;
  if (response.status !== 200) throw new Pause('wait', `The copy lacks its pages (${response.status}).`);
  return response;
}

/**
 * The whole lines of an answer. A last line without its end was cut off.
 * @param {Response} response
 */
async function* lines(response) {
  const reader = /** @type {ReadableStream<Uint8Array>} */ (response.body).getReader();
  const decoder = new TextDecoder();
  let rest = '';
  for (;;) {
    const { value, done } = await reader.read();
    if (done) break;
    const parts = (rest + decoder.decode(value, { stream: true })).split('\n');
    rest = parts.pop() ?? '';
    yield* parts;
  }
  if (rest) throw new Error('The answer ended within a page.');
}

/**
 * A page as if it had been asked for alone: with what every answer says of scripts, frames and other sites.
 * @param {Response} response
 * @param {string} body
 * @param {string} tag
 */
function asPage(response, body, tag) {
  const headers = new Headers(response.headers);
  headers.delete('content-encoding');
  headers.delete('content-length');
  headers.set('content-type', 'text/html; charset=utf-8');
  headers.set(TAG, tag);
  return new Response(body, { status: 200, headers });
}

/** @param {Cache} into @param {string} url @param {Response} response */
export async function store(into, url, response) {
  try {
    await into.put(url, response);
  } catch (error) {
    throw /** @type {Error} */ (error).name === 'QuotaExceededError'
      ? new StorageError('full', error)
      : error;
  }
}
