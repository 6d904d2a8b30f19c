// @ts-check
/**
 * The escape hatches: a report to copy, everything unsent in one file, and such a file read in again.
 *
 * The file is JSON: `{"underlamp": "unsent", "version": 1, "saved_at": ms, "device": id,
 * "ops": [operation], "photos": [{"sha256", "bytes", "type", "held"?, "base64"}]}`. `held`: no operation speaks of the
 * photo yet; it waits for its words.
 *
 * @typedef {import('../work/op.js').Op} Op
 */
import { tell } from '../lib/bus.js';
import { opsIn, read, write } from '../lib/db.js';
import { receive } from '../lib/hlc.js';
import { sha256 } from '../lib/sha256.js';
import { kindOf, recordOf } from '../work/op.js';
import { changeHead, listPhotos, PIECE, putBytes, slice, withRoom } from './bytes.js';
import { deviceId, now } from './clock.js';
import { outboxStatus } from './flush.js';

/** How things stand, as text to copy. No words of the person's are in it. @param {string} build */
export async function syncReport(build) {
  const { unsent, refused, meta, packs } = await read(['ops', 'meta', 'packs'], async (tx) => ({
    unsent: await opsIn(tx, 'waiting'),
    refused: await opsIn(tx, 'refused'),
    meta: await metaValues(tx),
    packs: await tx.objectStore('packs').getAll(),
  }));
  const photos = [...(await listPhotos('waiting')), ...(await listPhotos('refused'))];
  const room = await navigator.storage?.estimate?.();
  const kept = await navigator.storage?.persisted?.();
  return [
    `Underlamp sync report, ${new Date().toISOString()}`,
    `build ${build}, device ${deviceId()}, ${navigator.userAgent}`,
    `clock now ${new Date(now()).toISOString()}`,
    `status ${JSON.stringify(outboxStatus())}`,
    `stored ${JSON.stringify(meta)}`,
    `room ${room?.usage ?? '?'} of ${room?.quota ?? '?'} bytes, kept by the browser: ${kept ?? '?'}`,
    ...packs.map((pack) => `copy ${JSON.stringify(pack)}`),
    ...[...unsent, ...refused].map(
      ({ op, state, verdict }) =>
        `${state} ${kindOf(op)} ${op.id} clock ${op.hlc} car ${op.car} on ${JSON.stringify(op.on)} ${verdict?.code ?? ''}`,
    ),
    ...photos.map(
      (head) =>
        `${head.state} photo ${head.sha256} ${head.offset} of ${head.bytes} bytes ${head.type} ${head.code ?? ''}`,
    ),
    '',
  ].join('\n');
}

/** @param {import('../lib/db.js').Tx} tx */
async function metaValues(tx) {
  const store = tx.objectStore('meta');
  const [keys, values] = [await store.getAllKeys(), await store.getAll()];
  return Object.fromEntries(keys.map((key, n) => [key, values[n]]));
}

/**
 * Everything that is only on this phone, as a file.
 * @returns {Promise<Blob>}
 */
export async function unsentFile() {
  const records = await read(['ops'], async (tx) => [
    ...(await opsIn(tx, 'waiting')),
    ...(await opsIn(tx, 'refused')),
  ]);
  const head = { underlamp: 'unsent', version: 1, saved_at: now(), device: deviceId() };
  const ops = records.map((record) => record.op);
  /** @type {string[]} */
  const parts = [`${JSON.stringify(head).slice(0, -1)},"ops":${JSON.stringify(ops)},"photos":[`];
  let comma = '';
  for (const state of /** @type {const} */ (['waiting', 'refused', 'held'])) {
    for (const { sha256: sha, bytes, type } of await listPhotos(state)) {
      const about = { sha256: sha, bytes, type, ...(state === 'held' ? { held: true } : {}) };
      parts.push(`${comma}${JSON.stringify(about).slice(0, -1)},"base64":"`);
      for (let at = 0; at < bytes; at += PIECE) {
        const piece = await slice(sha, at, PIECE);
        parts.push(base64(piece ?? new ArrayBuffer(0)));
      }
      parts.push('"}');
      comma = ',';
    }
  }
  parts.push(']}\n');
  return new Blob(parts, { type: 'application/json' });
}

/** Lets the browser save {@link unsentFile}. */
export async function saveUnsent() {
  const url = URL.createObjectURL(await unsentFile());
  const link = document.createElement('a');
  link.href = url;
  link.download = `underlamp-unsent-${new Date(now()).toISOString().slice(0, 16).replace(':', '')}.json`;
  link.click();
  // The browser reads it after the click has been handled.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/**
 * Takes such a file into this phone's outbox: the operations first, as a photo that cannot be read, or that finds no room,
 * must not keep the words out. What is here already is left as it is.
 * @param {Blob} file
 * @returns {Promise<{ops: number, photos: number, had: number, damaged: number}>} throws in words when it is no such file
 */
export async function importUnsent(file) {
  const content = parse(await file.text());
  const fresh = await importOps(content.ops);
  let photos = 0;
  for (const photo of content.photos) if (await importPhoto(photo)) photos += 1;
  tell('changed', { phase: 'saved', records: [] });
  return {
    ops: fresh.length,
    photos,
    damaged: content.photos.length - photos,
    had: content.ops.length - fresh.length,
  };
}

/** @param {Op[]} ops @returns {Promise<import('../work/op.js').Rec[]>} those that were not here */
async function importOps(ops) {
  const fresh = await write(['ops', 'meta'], async (tx) => {
    const store = tx.objectStore('ops');
    let hlc = (await tx.objectStore('meta').get('hlc')) ?? null;
    const records = [];
    for (const op of ops) {
      if (await store.get(op.id)) continue;
      const record = recordOf(op, 'waiting', Date.now());
      await store.put(record);
      records.push(record);
      hlc = receive(hlc, op.hlc);
    }
    if (hlc) await tx.objectStore('meta').put(hlc, 'hlc');
    return records;
  });
  tell('changed', { phase: 'saved', records: fresh });
  return fresh;
}

/** @typedef {{sha256: string, type: string, base64: string, held?: boolean}} Photo */

/** @param {Photo} photo @returns {Promise<boolean>} whether it is whole */
async function importPhoto({ sha256: claimed, type, base64: text, held }) {
  const bytes = fromBase64(text);
  if (!bytes || (await sha256(bytes)) !== claimed) return false;
  await withRoom(() => putBytes(claimed, bytes, type));
  if (!held) {
    await changeHead(claimed, (head) => (head.state === 'held' ? { ...head, state: 'waiting' } : head));
  }
  return true;
}

/**
 * @param {string} text
 * @returns {{ops: Op[], photos: Photo[]}}
 */
function parse(text) {
  let content;
  try {
    content = JSON.parse(text);
  } catch {
    content = null;
  }
  if (content?.underlamp !== 'unsent' || content.version !== 1) {
    throw new Error('This is not a file of unsent work.');
  }
  const whole = (/** @type {any} */ op) => op?.id && op.hlc && op.car && op.on && op.do;
  if (!Array.isArray(content.photos) || !Array.isArray(content.ops) || !content.ops.every(whole))
    throw new Error('This file of unsent work is damaged.');
  return content;
}

/** @param {ArrayBuffer} bytes */
function base64(bytes) {
  const all = new Uint8Array(bytes);
  let text = '';
  // As many arguments as every engine takes in one call.
  for (let at = 0; at < all.length; at += 0x8000)
    text += String.fromCharCode(...all.subarray(at, at + 0x8000));
  return btoa(text);
}

/** @param {string} text @returns {ArrayBuffer|null} null when it is damaged */
function fromBase64(text) {
  try {
    return Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0)).buffer;
  } catch {
    return null;
  }
}
