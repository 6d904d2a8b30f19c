/** Sending: every failure that a release must survive, against a scripted server. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { CAR, listen, newPhone, noteOf, openTab, stored, tickOf } from './phone.js';

/** @param {any} server @param {string} part */
const asked = (server, part) => server.log.filter((/** @type {any} */ { path }) => path.includes(part));

test('what was recorded is sent and marked sent with its number', async () => {
  const { tab } = await newPhone();
  await tab.record(tickOf('done'));
  await tab.record(noteOf('seized'));
  assert.equal((await stored(tab, 'waiting')).length, 2);
  await tab.flush();
  assert.deepEqual(
    (await stored(tab, 'sent')).map((/** @type {any} */ { seq }) => seq),
    [1, 2],
  );
  const { waiting, reachable, lastError, lastContact } = tab.outboxStatus();
  assert.deepEqual({ waiting, reachable, lastError }, { waiting: 0, reachable: true, lastError: '' });
  assert.ok(lastContact);
});

test('a request that never arrived is kept and sent later', async () => {
  const { server, tab } = await newPhone();
  await tab.record(tickOf('done'));
  server.faults.push(['/sync/ops', 'drop']);
  await tab.flush();
  const { waiting, reachable, lastError } = tab.outboxStatus();
  assert.deepEqual({ waiting, reachable }, { waiting: 1, reachable: false });
  assert.match(lastError, /cannot be reached/);
  await tab.flush();
  assert.equal(server.ops.size, 1);
  assert.equal(tab.outboxStatus().waiting, 0);
});

test('an answer lost after the server stored it leads to one operation, not two', async () => {
  const { server, tab } = await newPhone();
  await tab.record(tickOf('done'));
  server.faults.push(['/sync/ops', 'lose']);
  await tab.flush();
  assert.equal(tab.outboxStatus().waiting, 1);
  await tab.flush();
  assert.equal(server.ops.size, 1);
  assert.equal((await stored(tab, 'sent'))[0].seq, 1);
});

test('delivered twice counts once', async () => {
  const { server, tab } = await newPhone();
  await tab.record(tickOf('done'));
  server.faults.push(['/sync/ops', 'twice']);
  await tab.flush();
  assert.equal(server.ops.size, 1);
  assert.equal((await stored(tab, 'sent')).length, 1);
});

test('one refused operation among good ones needs a look and holds up none', async () => {
  const { server, tab } = await newPhone();
  const heard = listen(tab);
  for (const text of ['one', 'poison', 'three']) await tab.record(noteOf(text));
  server.refuse = (op) => (op.do.note.text === 'poison' ? 'unknown-subject' : undefined);
  await tab.flush();
  assert.equal(server.ops.size, 2);
  const [refused] = await tab.listRefused();
  assert.equal(refused.op.do.note.text, 'poison');
  assert.deepEqual(refused.verdict, { code: 'unknown-subject', say: 'Refused: unknown-subject' });
  assert.equal(tab.outboxStatus().refused, 1);
  assert.ok(heard.some(({ phase, records }) => phase === 'refused' && records[0].id === refused.id));
});

test('a refused operation can be sent again changed, as a new one, and the old one is kept', async () => {
  const { server, tab } = await newPhone();
  server.refuse = (op) => (op.do.note.text === 'poison' ? 'too-long' : undefined);
  const made = await tab.record(noteOf('poison'));
  await tab.flush();
  await tab.tryAgain(made.id, { do: { note: { text: 'mended' } } });
  await tab.flush();
  assert.deepEqual(
    [...server.ops.values()].map((op) => op.do.note.text),
    ['mended'],
  );
  assert.equal((await stored(tab, 'refused'))[0].id, made.id);
  assert.equal((await tab.listRefused()).length, 0);
  assert.equal(tab.outboxStatus().refused, 0);
});

test('an operation on something deleted is sent, and its words are shown until put aside', async () => {
  const { server, tab } = await newPhone();
  server.refuse = () => 'kept';
  const made = await tab.record(tickOf('done'));
  await tab.flush();
  assert.equal((await tab.listKept())[0].verdict.say, 'Its step was deleted.');
  await tab.putAside(made.id);
  assert.equal((await tab.listKept()).length, 0);
});

test('a phone a year ahead is corrected, in the old order, and sends', async () => {
  const { server, tab } = await newPhone();
  const year = 365 * 24 * 3600 * 1000;
  server.now = () => Date.now() - year;
  for (const text of ['one', 'two', 'three']) await tab.record(noteOf(text));
  await tab.flush();
  const sent = [...server.ops.values()];
  assert.deepEqual(
    sent.map((op) => op.do.note.text),
    ['one', 'two', 'three'],
  );
  assert.ok(sent.every((op) => Number(op.hlc.slice(0, 16)) < server.now() + 60_000));
  assert.ok(sent[0].hlc < sent[1].hlc && sent[1].hlc < sent[2].hlc);
  const later = await tab.record(noteOf('four'));
  assert.ok(later.hlc > sent[2].hlc);
  await tab.flush();
  assert.equal(server.ops.size, 4);
  assert.equal(asked(server, '/sync/ops').length, 3);
});

test('a correction survives a restart of the page', async () => {
  const { server, tab } = await newPhone();
  server.now = () => Date.now() - 3_600_000;
  await tab.record(noteOf('one'));
  await tab.flush();
  const next = await openTab();
  const made = await next.record(noteOf('two'));
  assert.ok(Math.abs(Number(made.hlc.slice(0, 16)) - server.now()) < 5_000);
});

test('a server whose clock cannot be agreed with is waited for, not asked for ever', async () => {
  const { server, tab } = await newPhone();
  await tab.record(noteOf('one'));
  const ahead = (/** @type {any} */ { body }) => ({
    status: 200,
    body: {
      store: server.store,
      now: Date.now(),
      verdicts: JSON.parse(body).ops.map((/** @type {any} */ op) => ({
        id: op.id,
        is: 'refused',
        code: 'clock-ahead',
        say: '',
        again: 'restamp',
      })),
    },
  });
  for (let n = 0; n < 10; n++) server.faults.push(['/sync/ops', ahead]);
  await tab.flush();
  assert.equal(asked(server, '/sync/ops').length, 4);
  assert.equal(tab.outboxStatus().waiting, 1);
  assert.match(tab.outboxStatus().lastError, /clocks/);
});

test('not paired any more: stops, says so, keeps everything, and goes on after pairing', async () => {
  const { server, tab } = await newPhone();
  await tab.record(tickOf('done'));
  server.paired = false;
  await tab.flush();
  const { paired, waiting, reachable } = tab.outboxStatus();
  assert.deepEqual({ paired, waiting, reachable }, { paired: false, waiting: 1, reachable: true });
  server.paired = true;
  await tab.sendNow();
  assert.equal(server.ops.size, 1);
  assert.equal(tab.outboxStatus().paired, true);
});

test('a batch that is too large is halved until it fits', async () => {
  const { server, tab } = await newPhone();
  for (let n = 0; n < 40; n++) await tab.record(noteOf(`${n}`));
  const small = (/** @type {any} */ request) => {
    const { ops } = JSON.parse(request.body);
    return ops.length > 10
      ? { status: 413, body: { code: 'too-large', again: 'never' } }
      : server.handle(request);
  };
  for (let n = 0; n < 100; n++) server.faults.push(['/sync/ops', small]);
  await tab.flush();
  assert.equal(server.ops.size, 40);
  assert.equal(tab.outboxStatus().waiting, 0);
});

test('one that is too large by itself is found by halving and needs a look', async () => {
  const { server, tab } = await newPhone();
  for (let n = 0; n < 20; n++) await tab.record(noteOf(n === 7 ? 'poison' : `${n}`));
  const picky = (/** @type {any} */ request) =>
    request.body.includes('poison')
      ? { status: 413, body: { code: 'too-large', again: 'never', detail: 'Does not fit.' } }
      : server.handle(request);
  for (let n = 0; n < 200; n++) server.faults.push(['/sync/ops', picky]);
  await tab.flush();
  assert.equal(server.ops.size, 19);
  assert.deepEqual((await tab.listRefused())[0].verdict, { code: 'too-large', say: 'Does not fit.' });
});

for (const status of [400, 415, 422]) {
  test(`a request that is answered ${status} as a whole condemns none of its operations`, async () => {
    const { server, tab } = await newPhone();
    for (const text of ['one', 'two']) await tab.record(noteOf(text));
    const body = { code: 'malformed', again: 'never', detail: 'Unknown field.' };
    server.faults.push(['/sync/ops', () => ({ status, body })]);
    await tab.flush();
    assert.equal(asked(server, '/sync/ops').length, 1);
    const { waiting, refused, reachable, lastError } = tab.outboxStatus();
    assert.deepEqual({ waiting, refused, reachable }, { waiting: 2, refused: 0, reachable: true });
    assert.match(lastError, /Unknown field\. Everything is kept/);
    await tab.flush();
    assert.equal(server.ops.size, 2);
  });
}

test('half a surrogate pair in the words does not make the whole request unreadable', async () => {
  const { server, tab } = await newPhone();
  await tab.record(noteOf('broken \ud83d paste, whole 😀'));
  await tab.flush();
  assert.deepEqual(
    [...server.ops.values()].map((op) => op.do.note.text),
    ['broken \ufffd paste, whole 😀'],
  );
});

test('batches hold at most fifty, oldest first', async () => {
  const { server, tab } = await newPhone();
  for (let n = 0; n < 120; n++) await tab.record(noteOf(`${n}`));
  await tab.flush();
  assert.deepEqual(
    asked(server, '/sync/ops').map((/** @type {any} */ { body }) => JSON.parse(body).ops.length),
    [50, 50, 20],
  );
  assert.deepEqual(
    [...server.ops.values()].map((op) => op.do.note.text),
    Array.from({ length: 120 }, (_, n) => `${n}`),
  );
});

test('two tabs flushing at once send each operation once', async () => {
  const { server, tab } = await newPhone();
  const other = await openTab();
  for (let n = 0; n < 10; n++) await tab.record(noteOf(`${n}`));
  await Promise.all([tab.flush(), other.flush(), tab.flush()]);
  assert.equal(asked(server, '/sync/ops').length, 1);
  assert.equal(server.ops.size, 10);
});

test('an operation recorded while others are under way is sent in the same round', async () => {
  const { server, tab } = await newPhone();
  await tab.record(noteOf('one'));
  server.faults.push([
    '/sync/ops',
    (/** @type {any} */ request) => {
      tab.record(noteOf('two'));
      return server.handle(request);
    },
  ]);
  await tab.flush();
  await tab.flush();
  assert.equal(server.ops.size, 2);
  assert.equal(tab.outboxStatus().waiting, 0);
});

test('a server that answers nonsense is not believed', async () => {
  const { server, tab } = await newPhone();
  await tab.record(noteOf('one'));
  const page = { status: 200, body: '<html>Welcome to the guest network</html>', type: 'text/html' };
  server.faults.push(['/sync/ops', () => page]);
  await tab.flush();
  assert.equal(tab.outboxStatus().reachable, false);
  server.faults.push(['/sync/ops', () => ({ status: 200, body: { store: server.store, verdicts: [] } })]);
  await tab.flush();
  assert.match(tab.outboxStatus().lastError, /does not fit/);
  server.faults.push(['/sync/hello', () => ({ status: 200, body: { hello: true } })]);
  assert.equal((await stored(tab, 'waiting')).length, 1);
  await tab.flush();
  assert.equal(tab.outboxStatus().reachable, false);
  assert.equal(server.ops.size, 1);
});

test('nothing that is sent follows a redirect or is answered out of a cache', async () => {
  const { server, tab } = await newPhone();
  /** @type {any[]} */
  const ways = [];
  globalThis.fetch = /** @type {any} */ (
    (/** @type {string} */ path, /** @type {any} */ init) => {
      ways.push([init.redirect, init.cache, init.credentials]);
      return server.fetch(path, init);
    }
  );
  await tab.record(noteOf('one'));
  await tab.flush();
  assert.ok(ways.length > 0);
  for (const way of ways) assert.deepEqual(way, ['error', 'no-store', 'same-origin']);
});

test('a server error is waited for', async () => {
  const { server, tab } = await newPhone();
  await tab.record(noteOf('one'));
  server.faults.push(['/sync/ops', 503]);
  await tab.flush();
  const { waiting, reachable, lastError } = tab.outboxStatus();
  assert.deepEqual(
    { waiting, reachable, lastError },
    { waiting: 1, reachable: true, lastError: 'Problem 503' },
  );
});

test('after a restored backup everything held here goes back, and nothing twice', async () => {
  const { server, tab } = await newPhone();
  for (let n = 0; n < 6; n++) await tab.record(noteOf(`${n}`));
  await tab.addPhoto(new Blob(['pixels'], { type: 'image/jpeg' }), {
    car: CAR,
    on: { car: CAR },
    caption: '',
  });
  await tab.flush();
  const before = [...server.ops.keys()];
  server.restore(3);
  await tab.record(noteOf('after the restore'));
  await tab.flush();
  assert.deepEqual(new Set(server.ops.keys()), new Set([...before, (await stored(tab, 'sent')).at(-1).id]));
  assert.equal(server.ops.size, 8);
  assert.equal([...server.uploads.values()][0].done, true);
  assert.equal(tab.outboxStatus().waiting + tab.outboxStatus().photosWaiting, 0);
});

test('an idle phone notices a restored backup by the greeting', async () => {
  const { server, tab } = await newPhone();
  for (let n = 0; n < 3; n++) await tab.record(noteOf(`${n}`));
  await tab.flush();
  server.restore(0);
  await tab.flush();
  assert.equal(server.ops.size, 3);
});

test('unsent work can be saved to a file and taken in by another phone', async () => {
  const first = await newPhone();
  const made = await first.tab.record(noteOf('grüße ☃'));
  // More than one stored piece, so that the pieces have to join up.
  const pixels = new Uint8Array(first.tab.PIECE + 1000).map((_, n) => n % 251);
  await first.tab.addPhoto(new Blob([pixels], { type: 'image/jpeg' }), { car: CAR, on: { car: CAR } });
  const file = await first.tab.unsentFile();
  const content = JSON.parse(await file.text());
  assert.equal(content.ops.length, 2);
  assert.deepEqual(Buffer.from(content.photos[0].base64, 'base64'), Buffer.from(pixels));

  const second = await newPhone();
  assert.deepEqual(await second.tab.importUnsent(file), { ops: 2, photos: 1, damaged: 0, had: 0 });
  assert.deepEqual(await second.tab.importUnsent(file), { ops: 0, photos: 1, damaged: 0, had: 2 });
  await second.tab.flush();
  assert.deepEqual([...second.server.ops.keys()][0], made.id);
  assert.equal([...second.server.uploads.values()][0].done, true);
  await assert.rejects(second.tab.importUnsent(new Blob(['{}'])), /not a file of unsent work/);
});

test('a damaged photo in the file does not keep the words out', async () => {
  const first = await newPhone();
  await first.tab.addPhoto(new Blob(['pixels']), { car: CAR, on: { car: CAR } });
  const content = JSON.parse(await (await first.tab.unsentFile()).text());
  content.photos[0].base64 = '%';
  const { tab } = await newPhone();
  const file = new Blob([JSON.stringify(content)]);
  assert.deepEqual(await tab.importUnsent(file), { ops: 1, photos: 0, damaged: 1, had: 0 });
  assert.equal((await stored(tab, 'waiting')).length, 1);
});

test('a photo that waits for its words still does after the way through a file', async () => {
  const first = await newPhone();
  const { sha256 } = await first.tab.holdPhoto(new Blob(['pixels']));
  const file = await first.tab.unsentFile();
  const { tab } = await newPhone();
  await tab.importUnsent(file);
  assert.deepEqual(
    (await tab.listPhotos('held')).map((/** @type {any} */ head) => head.sha256),
    [sha256],
  );
});

test('the sync report names what waits and none of the words in it', async () => {
  const { tab } = await newPhone();
  const made = await tab.record(noteOf('private words'));
  const report = await tab.syncReport('b1');
  assert.match(report, new RegExp(`waiting note ${made.id}`));
  assert.doesNotMatch(report, /private/);
});

test('a listener hears of a tick before it is stored, and again at each step', async () => {
  const { tab } = await newPhone();
  const car = await tab.openCar(CAR);
  /** @type {string[]} */
  const marks = [];
  car.onChange(() => {
    const said = car.state().ticks.get(tickOf('done').on.step);
    if (said) marks.push(said.last.mark);
  });
  await tab.record(tickOf('done'));
  await tab.flush();
  assert.deepEqual(marks, ['saving', 'waiting', 'sent']);
});
