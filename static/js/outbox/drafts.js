// @ts-check
/**
 * Half-written things, so that a reload loses no words. Keys are the page's own, such as `note:<car>`.
 */
import { read, write } from '../lib/db.js';

/**
 * @param {string} key
 * @param {unknown} value
 */
export async function saveDraft(key, value) {
  await write(['drafts'], (tx) => tx.objectStore('drafts').put({ key, value, saved_at: Date.now() }));
}

/**
 * @param {string} key
 * @returns {Promise<any>} null when there is none
 */
export async function readDraft(key) {
  return (await read(['drafts'], (tx) => tx.objectStore('drafts').get(key)))?.value ?? null;
}

/** @param {string} key */
export async function dropDraft(key) {
  await write(['drafts'], (tx) => tx.objectStore('drafts').delete(key));
}
