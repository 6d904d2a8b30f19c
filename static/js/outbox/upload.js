// @ts-check
/**
 * Sending the bytes of photos, in slices that can be taken up again. Only `flush.js` calls this, under its lock.
 *
 * The server is asked first how much it has; a wrong offset (409) carries the right one. One slice is in memory at a time.
 *
 * @typedef {import('../lib/db.js').Head} Head
 */
import { tell } from '../lib/bus.js';
import { changeHead, dropOldPhotos, listPhotos, slice } from './bytes.js';
import { call, Pause } from './server.js';

/** Bytes in one request. */
export const SLICE = 512 * 1024;

/** Answers about the photo itself, about the offset, and about an upload the server has forgotten. */
const OWN = [404, 409, 413, 422];

/** What can be wrong with a photo for good. Any other 422 is about the request: kept, and tried later. */
const NEVER = new Set([
  'not-a-picture',
  'unsupported-picture',
  'too-many-pixels',
  'damaged-picture',
  'wrong-hash',
  'bytes-lost',
]);

/**
 * @typedef {(at: {sha: string, offset: number, bytes: number}|null) => void} Progress
 *
 * Sends every photo that waits, one after the other, oldest first. One that cannot be sent does not hold up the others.
 * @param {Progress} progress
 */
export async function sendPhotos(progress) {
  /** @type {Pause|null} */
  let later = null;
  for (const head of await listPhotos('waiting')) {
    try {
      await sendPhoto(head, progress);
    } catch (error) {
      progress(null);
      if (!(error instanceof Pause) || !error.reached || error.why === 'pair') throw error;
      later = error;
    }
  }
  progress(null);
  if (later) throw later;
  await dropOldPhotos();
}

/**
 * @param {Head} head
 * @param {Progress} progress
 */
async function sendPhoto(head, progress) {
  const { sha256: sha, bytes } = head;
  let offset = -1;
  try {
    let answer = await begin(head);
    for (let stuck = 0; !answer.body?.done; ) {
      if (answer.status === 413 || NEVER.has(answer.code)) return await refuse(sha, answer);
      if (answer.status === 422) throw new Pause('wait', answer.say);
      const further = answer.status === 404 ? 0 : Number(answer.body?.offset);
      // Every answer must bring it further; a server that goes back and forth is left for later.
      if (!(further >= 0) || (further <= offset && ++stuck > 2)) {
        throw new Pause('wait', 'A photo does not get any further.');
      }
      offset = further;
      progress({ sha, offset, bytes });
      answer = answer.status === 404 ? await begin(head) : await sendSlice(sha, offset);
    }
    await changeHead(sha, (now) => ({ ...now, state: 'sent', offset: bytes, sent_at: Date.now() }));
    tell('changed', { phase: 'sent', records: [] });
  } catch (error) {
    await changeHead(sha, (now) => ({ ...now, offset: Math.max(0, offset) }));
    throw error;
  }
}

/** @param {Head} head */
function begin({ sha256: sha, bytes }) {
  return call('/uploads', { json: { sha256: sha, length: bytes }, own: OWN });
}

/**
 * @param {string} sha
 * @param {number} offset
 */
async function sendSlice(sha, offset) {
  const bytes = await slice(sha, offset, SLICE);
  if (!bytes?.byteLength) {
    const say = 'Part of this photo is no longer on the phone.';
    return { ok: false, status: 422, body: null, code: 'bytes-lost', again: 'never', say };
  }
  return call(`/uploads/${sha}`, {
    method: 'PATCH',
    bytes,
    headers: { 'content-type': 'application/offset+octet-stream', 'upload-offset': String(offset) },
    timeout: 120_000,
    own: OWN,
  });
}

/**
 * @param {string} sha
 * @param {{code: string, say: string}} answer
 */
async function refuse(sha, { code, say }) {
  await changeHead(sha, (head) => ({ ...head, state: 'refused', code, say }));
  tell('changed', { phase: 'refused', records: [] });
}
