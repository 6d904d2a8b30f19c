// @ts-check
/**
 * Every talk with the server about work goes through `call`: it turns refusals into a {@link Pause} with words, learns
 * the server's clock, and notices when the server's store is another one (a backup was restored).
 *
 * @typedef {import('../lib/http.js').Question & {own?: number[]}} Call `own`: statuses which the caller handles itself
 * @typedef {import('../lib/http.js').Answer} Answer
 */
import { tell } from '../lib/bus.js';
import { headsIn, opsIn, write } from '../lib/db.js';
import { ask, NoAnswer } from '../lib/http.js';
import { learn, learnDevice } from './clock.js';
import { react } from './verdict.js';

/** Sending stops for now. `why`: `wait` for a better moment, or `pair` again first. */
export class Pause extends Error {
  name = 'Pause';
  /**
   * @param {'wait'|'pair'} why
   * @param {string} say for the person
   * @param {boolean} [reached] whether the server answered at all
   */
  constructor(why, say, reached = true) {
    super(say);
    this.why = why;
    this.reached = reached;
  }
}

/**
 * @param {string} path
 * @param {Call} [question]
 * @returns {Promise<Answer>} with a 2xx status, or one of `own`
 */
export async function call(path, { own = [], ...question } = {}) {
  const answer = await ask(path, question).catch((error) => {
    if (error instanceof NoAnswer) throw new Pause('wait', error.message, false);
    throw error;
  });
  const reaction = react(answer);
  if (reaction === 'pair') throw new Pause('pair', answer.say || 'This phone has to be paired again.');
  if (reaction !== 'read' && !own.includes(answer.status)) throw new Pause('wait', words(answer));
  if (reaction === 'read') await noticed(answer.body);
  return answer;
}

/** What is said while it is waited for. @param {Answer} answer */
function words({ status, say }) {
  if (![400, 415, 422].includes(status)) return say;
  return `The garage computer could not read what this page asked (${status}). ${say} Everything is kept; load this page again if it stays so.`;
}

/** @param {any} body */
async function noticed(body) {
  if (typeof body?.now === 'number') await learn(body.now);
  if (typeof body?.store === 'string' && (await meet(body.store))) {
    tell('changed', { phase: 'reload', records: [] });
  }
}

/** The store of the last answer. */
let met = '';

/** Asks the server whether it is there, and who we are to it. */
export async function greet() {
  const { body } = await call('/sync/hello', { timeout: 5_000 });
  if (body?.underlamp !== true) {
    throw new Pause('wait', 'Something else answered in place of the garage computer.', false);
  }
  await learnDevice(body.device);
}

/**
 * Compares the server's store with the one this phone knows. With another one, everything held here goes back into the
 * outbox: own operations because the protocol asks for them, others' because this phone may now hold the only copy.
 * Delivery is idempotent, so what the store still has is answered `had`.
 * @param {string} store
 * @returns {Promise<boolean>} whether it was another one
 */
async function meet(store) {
  if (store === met) return false;
  const other = await write(['meta', 'ops', 'photo_bytes'], async (tx) => {
    const meta = tx.objectStore('meta');
    const known = await meta.get('store');
    if (known === store) return false;
    await meta.put(store, 'store');
    if (!known) return false;
    // Marks belong to the old store.
    await meta.delete(IDBKeyRange.bound('mark:', 'mark:\uffff'));
    await putBack(tx);
    return true;
  });
  met = store;
  return other;
}

/** The same when the server says `fresh_start` under a store that this phone knows already. */
export async function giveBack() {
  await write(['ops', 'photo_bytes'], putBack);
  tell('changed', { phase: 'reload', records: [] });
}

/** @param {import('../lib/db.js').Tx} tx */
async function putBack(tx) {
  const held = [...(await opsIn(tx, 'sent')), ...(await opsIn(tx, 'known'))];
  for (const record of held) await tx.objectStore('ops').put({ ...record, state: 'waiting', seq: undefined });
  for (const head of await headsIn(tx, 'sent')) {
    await tx.objectStore('photo_bytes').put({ ...head, state: 'waiting', offset: 0 });
  }
}
