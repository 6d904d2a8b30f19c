/** Photos: kept in pieces, sent in slices, taken up again wherever it stopped. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { CAR, newPhone, stored } from './phone.js';

const WHERE = { car: CAR, on: { car: CAR }, caption: 'left strut' };

/** @param {number} length */
function picture(length) {
  const pixels = new Uint8Array(length).map((_, n) => (n * 7) % 253);
  return { pixels, file: new Blob([pixels], { type: 'image/jpeg' }) };
}

/** @param {any} server */
const patches = (server) => server.log.filter((/** @type {any} */ { method }) => method === 'PATCH');

test('a photo is stored in pieces of at most two mebibytes and sent whole', async () => {
  const { server, tab } = await newPhone();
  const { pixels, file } = picture(4_000_000);
  const made = await tab.addPhoto(file, WHERE);
  const { sha256, bytes, type, caption } = made.op.do.photo;
  assert.deepEqual({ bytes, type, caption }, { bytes: 4_000_000, type: 'image/jpeg', caption: 'left strut' });
  const pieces = await tab.read(['photo_bytes'], (/** @type {any} */ tx) =>
    tx.objectStore('photo_bytes').getAll(IDBKeyRange.bound(`${sha256}/`, `${sha256}/~`)),
  );
  assert.equal(pieces.length, 3);
  assert.ok(
    pieces.every((/** @type {any} */ { data }) => data instanceof ArrayBuffer && data.byteLength <= 2 ** 21),
  );
  await tab.flush();
  assert.deepEqual(server.uploads.get(sha256)?.bytes, Buffer.from(pixels));
  assert.ok(patches(server).every((/** @type {any} */ { body }) => body.length <= 512 * 1024));
  const [head] = await tab.listPhotos('sent');
  assert.ok(head.sent_at && (await stored(tab, 'sent')).length === 1);
  assert.match(await tab.photoUrl(sha256), /^blob:/);
});

test('a photo that is only held is not sent, and is found again by the next page', async () => {
  const { server, tab } = await newPhone();
  const { file } = picture(1000);
  await tab.holdPhoto(file);
  await tab.flush();
  assert.equal(server.uploads.size, 0);
  const [head] = await tab.listPhotos('held');
  await tab.claimPhoto(head, WHERE);
  await tab.flush();
  assert.equal([...server.uploads.values()][0].done, true);
});

test('cut in the middle, it goes on from where the server got to', async () => {
  const { server, tab } = await newPhone();
  const { pixels, file } = picture(2_000_000);
  const made = await tab.addPhoto(file, WHERE);
  // The second slice arrives by half, and the connection is gone.
  server.faults.push(['/uploads/', (/** @type {any} */ request) => server.handle(request)]);
  server.faults.push([
    '/uploads/',
    (/** @type {any} */ request) => {
      server.handle({ ...request, body: request.body.subarray(0, 1000) });
      throw new TypeError('Failed to fetch');
    },
  ]);
  await tab.flush();
  assert.equal(tab.outboxStatus().photosWaiting, 1);
  assert.equal((await tab.listPhotos('waiting'))[0].offset, 512 * 1024);
  await tab.flush();
  const upload = server.uploads.get(made.op.do.photo.sha256);
  assert.deepEqual(upload?.bytes, Buffer.from(pixels));
  assert.equal(tab.outboxStatus().photosWaiting, 0);
});

test('an answer lost after a slice leads to a wrong offset, and the right one is taken', async () => {
  const { server, tab } = await newPhone();
  const { pixels, file } = picture(1_500_000);
  const made = await tab.addPhoto(file, WHERE);
  const { sha256 } = made.op.do.photo;
  server.faults.push([
    `/uploads/${sha256}`,
    (/** @type {any} */ request) => {
      server.handle(request);
      // The slice is on disk, but what the phone hears of is the slice before.
      return { status: 200, body: { offset: 0, done: false } };
    },
  ]);
  await tab.flush();
  assert.ok(server.log.some(({ status }) => status === 409));
  assert.deepEqual(server.uploads.get(sha256)?.bytes, Buffer.from(pixels));
});

test('an upload that the server forgot is begun again', async () => {
  const { server, tab } = await newPhone();
  const { pixels, file } = picture(1_200_000);
  const made = await tab.addPhoto(file, WHERE);
  const { sha256 } = made.op.do.photo;
  server.faults.push([
    `/uploads/${sha256}`,
    () => {
      server.uploads.clear();
      return { status: 404, body: { code: 'not-found', again: 'never' } };
    },
  ]);
  await tab.flush();
  assert.deepEqual(server.uploads.get(sha256)?.bytes, Buffer.from(pixels));
});

test('a photo that the server already has is not sent again', async () => {
  const { server, tab } = await newPhone();
  const { file } = picture(1000);
  await tab.addPhoto(file, WHERE);
  await tab.flush();
  await tab.addPhoto(file, { ...WHERE, caption: 'once more' });
  await tab.flush();
  assert.equal(patches(server).length, 1);
  assert.equal(server.ops.size, 2);
});

test('a refused photo needs a look, its bytes are kept, and the others go on', async () => {
  const { server, tab } = await newPhone();
  const bad = await tab.addPhoto(picture(1000).file, WHERE);
  await tab.addPhoto(picture(2000).file, WHERE);
  const { sha256 } = bad.op.do.photo;
  const refusal = { code: 'damaged-picture', again: 'never', detail: 'This picture is damaged.' };
  server.faults.push([`/uploads/${sha256}`, () => ({ status: 422, body: refusal })]);
  await tab.flush();
  const [head] = await tab.listPhotos('refused');
  assert.deepEqual([head.sha256, head.say], [sha256, 'This picture is damaged.']);
  assert.equal(tab.outboxStatus().refused, 1);
  assert.equal((await tab.listPhotos('sent')).length, 1);
  assert.match(await tab.photoUrl(sha256), /^blob:/);
  await tab.tryPhotoAgain(sha256);
  await tab.flush();
  assert.equal(server.uploads.get(sha256)?.done, true);
});

test('a request about a photo that could not be read says nothing about the photo', async () => {
  const { server, tab } = await newPhone();
  const made = await tab.addPhoto(picture(1000).file, WHERE);
  const body = { code: 'malformed', again: 'never', detail: 'Unknown field.' };
  for (const status of [400, 415, 422]) {
    server.faults.push(['/uploads', () => ({ status, body })]);
    await tab.flush();
    assert.deepEqual([tab.outboxStatus().photosWaiting, tab.outboxStatus().refused], [1, 0]);
  }
  await tab.flush();
  assert.equal(server.uploads.get(made.op.do.photo.sha256)?.done, true);
});

test('one photo that the server cannot take now does not hold up the next', async () => {
  const { server, tab } = await newPhone();
  const first = await tab.addPhoto(picture(1000).file, WHERE);
  await new Promise((go) => setTimeout(go, 5));
  const second = await tab.addPhoto(picture(2000).file, WHERE);
  server.faults.push([`/uploads/${first.op.do.photo.sha256}`, 507]);
  await tab.flush();
  assert.equal(server.uploads.get(second.op.do.photo.sha256)?.done, true);
  assert.equal(tab.outboxStatus().photosWaiting, 1);
  assert.equal(tab.outboxStatus().lastError, 'Problem 507');
});

test('a server that never gets further is left for later', async () => {
  const { server, tab } = await newPhone();
  await tab.addPhoto(picture(1000).file, WHERE);
  for (let n = 0; n < 20; n++)
    server.faults.push(['/uploads/', () => ({ status: 409, body: { offset: 0 } })]);
  await tab.flush();
  assert.ok(patches(server).length < 5);
  assert.match(tab.outboxStatus().lastError, /does not get any further/);
});

test('bytes are dropped thirty days after they were sent, and not before', async () => {
  const { tab } = await newPhone();
  const made = await tab.addPhoto(picture(1000).file, WHERE);
  const { sha256 } = made.op.do.photo;
  await tab.flush();
  const sentBefore = (/** @type {number} */ days) =>
    tab.changeHead(sha256, (/** @type {any} */ head) => ({
      ...head,
      sent_at: Date.now() - days * 86_400_000,
    }));
  await sentBefore(29);
  await tab.flush();
  assert.match(await tab.photoUrl(sha256), /^blob:/);
  await sentBefore(31);
  await tab.flush();
  assert.equal(await tab.photoUrl(sha256), null);
});

test('progress is told while a photo travels', async () => {
  const { tab } = await newPhone();
  /** @type {number[]} */
  const offsets = [];
  tab.hear('outbox', (/** @type {any} */ { photo }) => photo && offsets.push(photo.offset));
  await tab.addPhoto(picture(1_200_000).file, WHERE);
  await tab.flush();
  assert.deepEqual([...new Set(offsets)], [0, 524_288, 1_048_576]);
});
