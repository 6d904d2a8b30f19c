/** The phone's store: what it promises when the browser misbehaves. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { CAR, DEVICE, listen, newPhone, noteOf, openTab, stored, tickOf } from './phone.js';

test('an operation is told as saving in the same turn, and as saved when it is stored', async () => {
  const { tab } = await newPhone();
  const heard = listen(tab);
  const promise = tab.record(tickOf('done'));
  assert.deepEqual(
    heard.map(({ phase }) => phase),
    ['saving'],
  );
  const saved = await promise;
  assert.deepEqual(
    heard.map(({ phase }) => phase),
    ['saving', 'saved'],
  );
  assert.equal(saved.state, 'waiting');
  assert.deepEqual(await stored(tab, 'waiting'), [saved]);
});

test('every clock is greater than the one before, also with two tabs at once', async () => {
  const { tab } = await newPhone();
  const other = await openTab();
  const made = await Promise.all(
    Array.from({ length: 40 }, (_, n) => (n % 2 ? tab : other).record(noteOf(`${n}`))),
  );
  assert.equal(new Set(made.map(({ hlc }) => hlc)).size, 40);
  const greatest = made
    .map(({ hlc }) => hlc)
    .sort()
    .at(-1);
  assert.equal(await tab.getMeta('hlc'), greatest);
});

test('a connection that the browser shut is opened again and the write done once more', async () => {
  const { tab } = await newPhone();
  await tab.record(noteOf('before'));
  const real = IDBDatabase.prototype.transaction;
  let broken = 1;
  IDBDatabase.prototype.transaction = function (/** @type {any[]} */ ...args) {
    if (broken-- > 0) throw new DOMException('The database connection is closing.', 'InvalidStateError');
    return real.apply(this, /** @type {any} */ (args));
  };
  await tab.record(noteOf('after')).finally(() => {
    IDBDatabase.prototype.transaction = real;
  });
  assert.equal((await stored(tab, 'waiting')).length, 2);
});

test('a connection that stays shut is told in words and the operation stays on the screen as failed', async () => {
  const { tab } = await newPhone();
  const car = await tab.openCar(CAR);
  const real = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = () => {
    throw new DOMException(
      'Connection to Indexed Database server lost. Refresh the page to try again',
      'UnknownError',
    );
  };
  await assert.rejects(tab.record(noteOf('kept on screen')), { name: 'StorageError', code: 'lost' });
  IDBDatabase.prototype.transaction = real;
  const [note] = car.state().notes.get(tickOf('done').on.step);
  assert.equal(note.mark, 'failed');
  await tab.saveAgain(car.records()[0]);
  assert.equal(car.state().notes.get(tickOf('done').on.step)[0].mark, 'waiting');
});

test('a transaction that never calls back is reported and the next one works', async () => {
  const { tab } = await newPhone();
  await tab.getMeta('x');
  const real = globalThis.setTimeout;
  globalThis.setTimeout = /** @type {any} */ (
    (/** @type {() => void} */ act, /** @type {number} */ delay) => real(act, delay / 1000)
  );
  const hung = tab.write(['meta'], () => new Promise(() => {}));
  await assert.rejects(hung, { name: 'StorageError', code: 'hung' }).finally(() => {
    globalThis.setTimeout = real;
  });
  await tab.setMeta('x', 1);
  assert.equal(await tab.getMeta('x'), 1);
});

test('a full phone drops the bytes of sent photos before it gives up', async () => {
  const { tab } = await newPhone();
  const head = await tab.holdPhoto(new Blob(['sent long ago'], { type: 'image/jpeg' }));
  await tab.changeHead(head.sha256, (/** @type {any} */ now) => ({
    ...now,
    state: 'sent',
    sent_at: Date.now(),
  }));
  const restore = fullDisk((value) => value?.op && fullDisk.photos > 0);
  fullDisk.photos = 1;
  const real = IDBObjectStore.prototype.delete;
  IDBObjectStore.prototype.delete = function (/** @type {any} */ key) {
    fullDisk.photos = 0;
    return real.call(this, key);
  };
  await tab.record(noteOf('fits after all')).finally(() => {
    restore();
    IDBObjectStore.prototype.delete = real;
  });
  assert.equal((await stored(tab, 'waiting')).length, 1);
  assert.equal(await tab.photoUrl(head.sha256), null);
});

test('a photo that does not fit leaves its words as a note', async () => {
  const { tab } = await newPhone();
  const restore = fullDisk((value) => value?.data);
  const where = { car: CAR, card: null, on: { car: CAR }, caption: 'crack at the bracket' };
  const failed = tab.addPhoto(new Blob(['x'.repeat(100)], { type: 'image/jpeg' }), where);
  await assert
    .rejects(failed, (/** @type {any} */ error) => {
      assert.equal(error.name, 'PhotoDidNotFit');
      assert.equal(error.note.op.do.note.text, 'crack at the bracket');
      return true;
    })
    .finally(restore);
  assert.equal((await stored(tab, 'waiting')).length, 1);
});

test('a photo whose operation could be stored only at the second try is sent', async () => {
  const { server, tab } = await newPhone();
  const heard = listen(tab);
  const head = await tab.holdPhoto(new Blob(['pixels'], { type: 'image/jpeg' }));
  const restore = fullDisk((value) => value?.op);
  await assert.rejects(tab.claimPhoto(head, { car: CAR, on: { car: CAR } })).finally(restore);
  assert.equal((await tab.listPhotos('held')).length, 1, 'nothing of a failed transaction stays');
  await tab.saveAgain(heard.at(-1).records[0]);
  await tab.flush();
  assert.equal(server.uploads.get(head.sha256)?.done, true);
});

test('a store made by a newer build can still be used', async () => {
  const { tab } = await newPhone();
  await tab.record(noteOf('from the older build'));
  tab.close();
  await new Promise((done, fail) => {
    const request = indexedDB.open('underlamp', 99);
    request.onerror = fail;
    request.onupgradeneeded = () => request.result.createObjectStore('later');
    request.onsuccess = () => {
      request.result.close();
      done(null);
    };
  });
  assert.equal((await stored(tab, 'waiting')).length, 1);
});

test('drafts are kept and dropped', async () => {
  const { tab } = await newPhone();
  await tab.saveDraft('note:car', { text: 'half a sen' });
  assert.deepEqual(await tab.readDraft('note:car'), { text: 'half a sen' });
  await tab.dropDraft('note:car');
  assert.equal(await tab.readDraft('note:car'), null);
});

test('after pairing again new operations carry the new device, and those made before keep theirs', async () => {
  const { server, tab } = await newPhone();
  const before = await tab.record(noteOf('before'));
  const device = '0b2f0a10-0000-4000-8000-0000000000bb';
  server.device = device;
  await tab.flush();
  const after = await tab.record(noteOf('after'));
  assert.deepEqual([before.device, after.device, after.op.device], [DEVICE, device, device]);
  await tab.flush();
  assert.deepEqual(
    [...server.ops.values()].map((op) => op.device),
    [DEVICE, device],
  );
  // A page out of the old copy still carries the former id.
  const page = await openTab();
  assert.equal(page.deviceId(), device);
});

test('nothing can be recorded by a browser that is not paired', async () => {
  const { tab } = await newPhone();
  await tab.write(['meta'], (/** @type {any} */ tx) => tx.objectStore('meta').delete('device'));
  await tab.wake('');
  await assert.rejects(tab.record(noteOf('whose?')), /not paired/);
});

/** From now on what `which` names does not fit. @param {(value: any) => any} which @returns {() => void} */
function fullDisk(which) {
  const real = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (/** @type {any[]} */ ...args) {
    if (which(args[0])) throw new DOMException('No room', 'QuotaExceededError');
    return real.apply(this, /** @type {any} */ (args));
  };
  return () => {
    IDBObjectStore.prototype.put = real;
  };
}
fullDisk.photos = 0;
