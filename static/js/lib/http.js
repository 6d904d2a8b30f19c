// @ts-check
/**
 * Asking our own server: with a time-out, without following redirects, and with problems (RFC 9457) read out.
 *
 * @typedef {object} Answer
 * @property {boolean} ok
 * @property {number} status
 * @property {any} body parsed JSON, or null
 * @property {string} code stable code of the problem, or ''
 * @property {string} again retry class of the problem (`later`, `after-pairing`, `never`), or ''
 * @property {string} say the problem in words, or ''
 *
 * @typedef {object} Question
 * @property {string} [method]
 * @property {unknown} [json] sent as JSON
 * @property {ArrayBuffer} [bytes] sent as they are
 * @property {Record<string, string>} [headers]
 * @property {number} [timeout] milliseconds for the whole exchange
 */

/** Nothing came back, or what came back was not from an Underlamp. */
export class NoAnswer extends Error {
  name = 'NoAnswer';
}

/**
 * @param {string} path
 * @param {Question} [question]
 * @returns {Promise<Answer>} for every status; throws {@link NoAnswer} when there was none
 */
export async function ask(path, { method, json, bytes, headers = {}, timeout = 20_000 } = {}) {
  const { response, text } = await exchange(path, timeout, {
    method: method ?? (json === undefined ? 'GET' : 'POST'),
    headers: { accept: 'application/json', ...(json === undefined ? {} : JSON_TYPE), ...headers },
    body: bytes ?? (json === undefined ? undefined : JSON.stringify(json, wellFormed)),
  });
  return read(response, text);
}

/**
 * A page of ours, as it is drawn anew.
 * @param {string} path
 * @returns {Promise<{status: number, text: string}>} for every status; throws {@link NoAnswer} when there was none
 */
export async function askPage(path) {
  const { response, text } = await exchange(path, 20_000, { headers: { accept: 'text/html' } });
  return { status: response.status, text };
}

/** @param {string} path @param {number} timeout @param {RequestInit} init */
async function exchange(path, timeout, init) {
  const ender = new AbortController();
  const timer = setTimeout(() => ender.abort(), timeout);
  try {
    const response = await fetch(path, {
      credentials: 'same-origin',
      cache: 'no-store',
      redirect: 'error',
      signal: ender.signal,
      ...init,
    });
    return { response, text: await response.text() };
  } catch {
    if (ender.signal.aborted) throw new NoAnswer('The garage computer took too long to answer.');
    throw new NoAnswer('The garage computer cannot be reached from here.');
  } finally {
    clearTimeout(timer);
  }
}

/**
 * Half of a surrogate pair, as a broken paste leaves it, is no text: a server cannot read a request that holds one, and
 * it would hold up everything that travels with it.
 * @param {string} _key
 * @param {unknown} value
 */
function wellFormed(_key, value) {
  return typeof value === 'string' ? value.replace(/\p{Surrogate}/gu, '\ufffd') : value;
}

const JSON_TYPE = { 'content-type': 'application/json' };

/**
 * @param {Response} response
 * @param {string} text
 * @returns {Answer}
 */
function read(response, text) {
  const body = parse(text);
  if (response.ok && text && body === null) {
    throw new NoAnswer('Something else answered in place of the garage computer.');
  }
  const problem = response.ok || body === null ? {} : body;
  return {
    ok: response.ok,
    status: response.status,
    body,
    code: String(problem.code ?? ''),
    again: String(problem.again ?? ''),
    say: String(
      problem.detail ?? problem.title ?? (response.ok ? '' : `The server answered ${response.status}.`),
    ),
  };
}

/** @param {string} text */
function parse(text) {
  try {
    const value = JSON.parse(text);
    return typeof value === 'object' ? value : null;
  } catch {
    return null;
  }
}
