// @ts-check
/**
 * Photos on this phone: bytes first, then the operation that speaks of them. Sending is in `upload.js`.
 *
 * The browser may reload the page when the camera returns: `holdPhoto` needs nothing but the file, and what it stored is
 * still there (`listPhotos('held')`) when the page comes back.
 *
 * @typedef {import('../lib/db.js').Head} Head
 * @typedef {import('../lib/db.js').Piece} Piece
 * @typedef {import('../work/op.js').Rec} Rec
 */
import { tell } from '../lib/bus.js';
import { read, StorageError } from '../lib/db.js';
import { sha256 } from '../lib/sha256.js';
import { changeHead, PIECE, pieceKey, putBytes, withRoom } from './bytes.js';
import { record } from './record.js';

export { listPhotos } from './bytes.js';

/** The photo did not fit on this phone. What was written beside it was saved as a note, if there was anything. */
export class PhotoDidNotFit extends Error {
  name = 'PhotoDidNotFit';
  /** @param {Rec|null} note */
  constructor(note) {
    super(
      note
        ? 'This phone has no room for the photo. Your words were saved without it.'
        : 'This phone has no room for the photo.',
    );
    this.note = note;
  }
}

/**
 * Stores the bytes and nothing else. Holding the same photo twice is harmless.
 * @param {Blob} file
 * @returns {Promise<Head>}
 */
export async function holdPhoto(file) {
  const bytes = await file.arrayBuffer();
  // The key of the bytes is their hash; computing it takes tens of milliseconds.
  const sha = await sha256(bytes);
  return withRoom(() => putBytes(sha, bytes, file.type || 'application/octet-stream'));
}

/**
 * Adds a photo to something: holds the bytes, then records the operation and lets them be sent.
 * @param {Blob} file
 * @param {{car?: string, card?: string|null, on: import('../work/op.js').Subject, caption?: string, question?: string}} where
 * @returns {Promise<Rec>} throws {@link PhotoDidNotFit} when there is no room for it
 */
export async function addPhoto(file, where) {
  try {
    return await claimPhoto(await holdPhoto(file), where);
  } catch (error) {
    if (!(error instanceof StorageError) || error.code !== 'full') throw error;
    const text = where.caption?.trim();
    throw new PhotoDidNotFit(text ? await record({ ...where, do: { note: { text } } }) : null);
  }
}

/**
 * Records the operation for a photo that is held already.
 * @param {Head} head
 * @param {{car?: string, card?: string|null, on: import('../work/op.js').Subject, caption?: string, question?: string}} where
 *   `question`: that of the survey for which it was taken
 */
export function claimPhoto({ sha256: sha, bytes, type }, { car, card, on, caption = '', question }) {
  const photo = { sha256: sha, bytes, type, caption, ...(question && { question }) };
  return record({ car, card, on, do: { photo } });
}

/**
 * An address for `<img>` of a photo whose bytes are on this phone, else null (then try `/photos/<sha256>/upright`).
 * The caller ends it with `URL.revokeObjectURL`.
 * @param {string} sha
 */
export async function photoUrl(sha) {
  const found = await read(['photo_bytes'], async (tx) => {
    const store = tx.objectStore('photo_bytes');
    const head = /** @type {Head|undefined} */ (await store.get(sha));
    if (!head) return null;
    const pieces = [];
    for (let n = 0; n * PIECE < head.bytes; n++) {
      pieces.push(/** @type {Piece|undefined} */ (await store.get(pieceKey(sha, n)))?.data);
    }
    return { type: head.type, pieces };
  });
  if (!found?.pieces.every(Boolean)) return null;
  return URL.createObjectURL(
    new Blob(/** @type {ArrayBuffer[]} */ (found.pieces), { type: showable(found.type) }),
  );
}

/** A blob address has this site's origin, so nothing but a picture may be opened by it. @param {string} type */
function showable(type) {
  return /^image\/(jpeg|png|webp|gif|heic|heif|avif)$/.test(type) ? type : 'application/octet-stream';
}

/**
 * Sends a refused photo again.
 * @param {string} sha
 */
export async function tryPhotoAgain(sha) {
  await changeHead(sha, (head) => ({ ...head, state: 'waiting', say: '', code: '' }));
  tell('changed', { phase: 'saved', records: [] });
}
