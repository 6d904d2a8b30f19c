// @ts-check
/**
 * The phone's store. The only file that opens IndexedDB.
 *
 * Invariants:
 * - `write` answers only after the transaction's `complete` event, asked for with strict durability.
 * - Inside `work` nothing is awaited but the transaction's own requests: it closes by itself on anything else.
 * - `work` may run twice (the connection was lost, so it was reopened): it must not mind.
 * - A transaction that never calls back, as some browsers do when the disk is full, is reported after {@link PATIENCE}.
 *
 * @typedef {import('../work/op.js').Rec} Rec
 *
 * A photo's head; its bytes are in {@link Piece} records. `held`: stored, no operation speaks of it yet.
 * @typedef {object} Head
 * @property {string} key the same as `sha256`
 * @property {string} sha256
 * @property {number} bytes
 * @property {string} type
 * @property {'held'|'waiting'|'sent'|'refused'} state
 * @property {number} offset how much of it the server is known to have
 * @property {number} saved_at milliseconds, by this phone's own clock
 * @property {number} [sent_at]
 * @property {string} [say] why it was refused
 * @property {string} [code]
 *
 * @typedef {object} Piece
 * @property {string} key `<sha256>/<number>`
 * @property {ArrayBuffer} data
 *
 * The copy of one car on this phone.
 * @typedef {object} Pack
 * @property {string} car
 * @property {string} version
 * @property {string} build
 * @property {number} as_of milliseconds, by the server's clock
 * @property {boolean} complete
 * @property {string} cache
 * @property {number} items
 * @property {number} bytes
 * @property {boolean|null} granted whether the browser promised to keep it; null when it cannot say
 *
 * @typedef {object} Schema
 * @property {{key: string, value: Rec, indexes: {car: string, state_hlc: [string, string]}}} ops
 * @property {{key: string, value: Head|Piece, indexes: {state: string}}} photo_bytes
 * @property {{key: string, value: any}} meta
 * @property {{key: string, value: {key: string, value: any, saved_at: number}}} drafts
 * @property {{key: string, value: Pack}} packs
 *
 * @typedef {'ops'|'photo_bytes'|'meta'|'drafts'|'packs'} Store
 * @typedef {import('../vendor/idb.js').IDBPDatabase<Schema>} Db
 * @typedef {import('../vendor/idb.js').IDBPTransaction<Schema, Store[], 'readwrite'>} Tx
 */
import { openDB } from '../vendor/idb.js';

const NAME = 'underlamp';

/** Longest a transaction may take, milliseconds. */
export const PATIENCE = 15_000;

/**
 * One entry for each version of the schema, oldest first. Only ever add to the end, and only ever add stores and
 * indexes: pages of an older build may still be open, or in the copy of a car.
 * @type {((db: Db) => void)[]}
 */
const SCHEMA = [
  (db) => {
    const ops = db.createObjectStore('ops', { keyPath: 'id' });
    ops.createIndex('car', 'car');
    ops.createIndex('state_hlc', ['state', 'hlc']);
    db.createObjectStore('photo_bytes', { keyPath: 'key' }).createIndex('state', 'state');
    db.createObjectStore('meta');
    db.createObjectStore('drafts', { keyPath: 'key' });
    db.createObjectStore('packs', { keyPath: 'car' });
  },
];

/** The phone's store did not do what was asked. `message` is for the person. */
export class StorageError extends Error {
  name = 'StorageError';
  /**
   * @param {'full'|'hung'|'lost'|'failed'} code
   * @param {unknown} [cause]
   */
  constructor(code, cause) {
    super(WORDS[code], { cause });
    this.code = code;
  }
}

const WORDS = {
  full: 'This phone has no room left for it.',
  hung: "This phone's storage does not answer. Close other tabs of this site, then open it again.",
  lost: "This phone's storage was shut by the browser. Open this page again.",
  failed: "This phone's storage refused it.",
};

/** @type {Promise<Db>|null} */
let opening = null;

/** @returns {Promise<Db>} */
function open() {
  opening ??= openAt(SCHEMA.length)
    .catch((error) => {
      // A newer build has been here. Its schema only adds to ours.
      if (error?.name === 'VersionError') return openAt(undefined);
      throw error;
    })
    .catch((error) => {
      opening = null;
      throw error;
    });
  return opening;
}

/**
 * @param {number|undefined} version
 * @returns {Promise<Db>}
 */
function openAt(version) {
  /** @type {Promise<Db>} */
  const opened = openDB(NAME, version, {
    upgrade(db, from) {
      for (const step of SCHEMA.slice(from)) step(db);
    },
    blocking() {
      close();
    },
    terminated() {
      opening = null;
    },
  });
  return opened;
}

/** Closes the connection; the next use opens it again. */
export function close() {
  opening?.then((db) => db.close()).catch(() => {});
  opening = null;
}

/**
 * @template T
 * @param {Store[]} stores
 * @param {(tx: Tx) => Promise<T>|T} work
 * @returns {Promise<T>} after `complete`; throws {@link StorageError}
 */
export function write(stores, work) {
  return twice('readwrite', stores, work);
}

/**
 * @template T
 * @param {Store[]} stores
 * @param {(tx: Tx) => Promise<T>|T} work reads only
 * @returns {Promise<T>}
 */
export function read(stores, work) {
  return twice('readonly', stores, work);
}

/**
 * @template T
 * @param {'readonly'|'readwrite'} mode
 * @param {Store[]} stores
 * @param {(tx: Tx) => Promise<T>|T} work
 */
async function twice(mode, stores, work) {
  try {
    return await once(mode, stores, work);
  } catch (error) {
    if (!(error instanceof StorageError) || error.code !== 'lost') throw error;
    close();
    return await once(mode, stores, work);
  }
}

/**
 * @template T
 * @param {'readonly'|'readwrite'} mode
 * @param {Store[]} stores
 * @param {(tx: Tx) => Promise<T>|T} work
 * @returns {Promise<T>}
 */
async function once(mode, stores, work) {
  /** @type {{tx: Tx|null}} */
  const at = { tx: null };
  const run = async () => {
    const db = await open();
    const options = mode === 'readwrite' ? { durability: /** @type {const} */ ('strict') } : undefined;
    const tx = /** @type {Tx} */ (/** @type {unknown} */ (db.transaction(stores, mode, options)));
    at.tx = tx;
    // `done` is awaited below; this keeps a failing request from being reported as nobody's.
    tx.done.catch(() => {});
    const result = await work(tx);
    await tx.done;
    return result;
  };
  /** @type {ReturnType<typeof setTimeout>|undefined} */
  let timer;
  const late = new Promise((_, fail) => {
    timer = setTimeout(() => fail(new StorageError('hung')), PATIENCE);
  });
  try {
    return /** @type {T} */ (await Promise.race([run(), late]));
  } catch (error) {
    // The transaction's own error says more than that of the request which ended with it.
    const cause = at.tx?.error ?? error;
    abort(at.tx);
    if (cause instanceof StorageError) close();
    throw named(cause);
  } finally {
    clearTimeout(timer);
  }
}

/** @param {Tx|null} tx */
function abort(tx) {
  try {
    tx?.abort();
  } catch {
    // It has ended already.
  }
}

/**
 * Errors of the store become {@link StorageError}; a mistake in `work` stays what it is.
 * @param {unknown} error
 */
function named(error) {
  if (error instanceof StorageError) return error;
  const { name = '', message = '' } = /** @type {{name?: string, message?: string}} */ (error ?? {});
  if (name === 'QuotaExceededError') return new StorageError('full', error);
  if (name === 'InvalidStateError' || /closing|closed|server lost|connection/i.test(message)) {
    return new StorageError('lost', error);
  }
  return error instanceof TypeError || error instanceof RangeError
    ? error
    : new StorageError('failed', error);
}

/**
 * @param {string} key
 * @returns {Promise<any>}
 */
export function getMeta(key) {
  return read(['meta'], (tx) => tx.objectStore('meta').get(key));
}

/**
 * @param {string} key
 * @param {unknown} value
 */
export async function setMeta(key, value) {
  await write(['meta'], (tx) => tx.objectStore('meta').put(value, key));
}

/** All operations in one state, oldest clock first. @param {Tx} tx @param {string} state @param {number} [limit] */
export function opsIn(tx, state, limit) {
  return tx
    .objectStore('ops')
    .index('state_hlc')
    .getAll(IDBKeyRange.bound([state], [state, []]), limit);
}

/** @param {Tx} tx @param {Head['state']} state @returns {Promise<Head[]>} */
export function headsIn(tx, state) {
  return /** @type {Promise<Head[]>} */ (tx.objectStore('photo_bytes').index('state').getAll(state));
}
