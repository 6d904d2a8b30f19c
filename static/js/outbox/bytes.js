// @ts-check
/**
 * The bytes of photos, as they lie in the phone's store: ArrayBuffers in pieces, because large blobs break in some
 * browsers, under the SHA-256 of the whole. Pages use `photos.js`.
 *
 * @typedef {import('../lib/db.js').Head} Head
 * @typedef {import('../lib/db.js').Piece} Piece
 * @typedef {import('../lib/db.js').Tx} Tx
 */
import { headsIn, read, StorageError, write } from '../lib/db.js';

/** Bytes in a stored piece: a whole number of upload slices, and divisible by 3 for base64. At most 2 MiB. */
export const PIECE = 3 * 512 * 1024;

/** How long sent bytes are kept, so that a restored backup can be given them again. Milliseconds. */
const KEEP = 30 * 24 * 3600 * 1000;

/**
 * @param {string} sha
 * @param {ArrayBuffer} bytes
 * @param {string} type
 * @param {Head['state']} [state] of a photo that was not here before
 * @returns {Promise<Head>}
 */
export function putBytes(sha, bytes, type, state = 'held') {
  return write(['photo_bytes'], async (tx) => {
    const store = tx.objectStore('photo_bytes');
    const known = /** @type {Head|undefined} */ (await store.get(sha));
    if (known) return known;
    for (let n = 0; n * PIECE < bytes.byteLength; n++) {
      const data = bytes.slice(n * PIECE, (n + 1) * PIECE);
      await store.put({ key: pieceKey(sha, n), data });
    }
    /** @type {Head} */
    const head = {
      key: sha,
      sha256: sha,
      bytes: bytes.byteLength,
      type,
      state,
      offset: 0,
      saved_at: Date.now(),
    };
    await store.put(head);
    return head;
  });
}

/** @param {Head['state']} state @returns {Promise<Head[]>} oldest first */
export async function listPhotos(state) {
  const heads = await read(['photo_bytes'], (tx) => headsIn(tx, state));
  return heads.sort((a, b) => a.saved_at - b.saved_at);
}

/**
 * Bytes from `offset` on, at most `most`, never across the end of a stored piece: so only one piece is in memory.
 * @param {string} sha
 * @param {number} offset
 * @param {number} most
 * @returns {Promise<ArrayBuffer|null>} null when they are not on this phone
 */
export async function slice(sha, offset, most) {
  const n = Math.floor(offset / PIECE);
  const piece = /** @type {Piece|undefined} */ (
    await read(['photo_bytes'], (tx) => tx.objectStore('photo_bytes').get(pieceKey(sha, n)))
  );
  const from = offset - n * PIECE;
  return piece ? piece.data.slice(from, from + most) : null;
}

/**
 * @param {string} sha
 * @param {(head: Head) => Head} change
 */
export async function changeHead(sha, change) {
  await write(['photo_bytes'], (tx) => changeIn(tx, sha, change));
}

/**
 * @param {Tx} tx
 * @param {string} sha
 * @param {(head: Head) => Head} change
 */
export async function changeIn(tx, sha, change) {
  const store = tx.objectStore('photo_bytes');
  const head = /** @type {Head|undefined} */ (await store.get(sha));
  if (head) await store.put(change(head));
}

/** Drops the bytes of photos that were sent long ago. */
export function dropOldPhotos() {
  return drop((head) => (head.sent_at ?? 0) + KEEP < Date.now());
}

/**
 * Does something that needs room; when there is none, drops what was sent already and tries once more.
 * @template T
 * @param {() => Promise<T>} work
 * @returns {Promise<T>}
 */
export async function withRoom(work) {
  try {
    return await work();
  } catch (error) {
    const full = error instanceof StorageError && error.code === 'full';
    if (!full || (await drop(() => true)) === 0) throw error;
    return await work();
  }
}

/**
 * @param {(head: Head) => boolean} which of those that were sent
 * @returns {Promise<number>} photos dropped
 */
function drop(which) {
  return write(['photo_bytes'], async (tx) => {
    const store = tx.objectStore('photo_bytes');
    const gone = (await headsIn(tx, 'sent')).filter(which);
    for (const { sha256: sha } of gone) {
      await store.delete(IDBKeyRange.bound(`${sha}/`, `${sha}/\uffff`));
      await store.delete(sha);
    }
    return gone.length;
  });
}

/** @param {string} sha @param {number} n */
export function pieceKey(sha, n) {
  return `${sha}/${String(n).padStart(5, '0')}`;
}
