/** Pulling what happened elsewhere, and the copy of a car on the phone. */
import assert from 'node:assert/strict';
import { beforeEach, test } from 'node:test';
import { CAR, FakeCaches, listen, newPhone, noteOf, openTab, STEP, stored, tickOf } from './phone.js';

/** @type {FakeCaches} */
let caches;

beforeEach(() => {
  caches = new FakeCaches();
  Object.assign(globalThis, { caches, location: { origin: 'https://garage.test' } });
});

/** An operation of another device. @param {number} n @param {any} [what] */
function foreign(n, what = { note: { text: `desk ${n}` } }) {
  const hlc = `${String(Date.now() - 1000 + n).padStart(16, '0')}-00000`;
  const id = `0190a1b2-0000-7000-8000-${String(n).padStart(12, '0')}`;
  return { id, device: 'desk', hlc, car: CAR, card: null, on: { step: STEP }, do: what };
}

test('operations of other devices are stored with the mark, page after page', async () => {
  const { server, tab } = await newPhone();
  server.pageSize = 2;
  server.takeOps([1, 2, 3, 4, 5].map((n) => foreign(n)));
  assert.equal(await tab.pull(CAR), 5);
  assert.equal((await stored(tab, 'known')).length, 5);
  assert.equal(await tab.getMeta(`mark:${CAR}`), `${server.store}:5`);
  assert.equal(await tab.pull(CAR), 0);
});

test('what is made after pulling is later than everything that was pulled', async () => {
  const { server, tab } = await newPhone();
  const ahead = { ...foreign(1), hlc: `${String(Date.now() + 60_000).padStart(16, '0')}-00004` };
  server.takeOps([ahead]);
  await tab.pull(CAR);
  const made = await tab.record(tickOf('done'));
  assert.ok(made.hlc > ahead.hlc);
});

test('own operations come back as sent, also when their verdict was lost', async () => {
  const { server, tab } = await newPhone();
  await tab.record(noteOf('one'));
  await tab.flush();
  await tab.record(noteOf('two'));
  server.faults.push(['/sync/ops', 'lose']);
  await tab.flush();
  const heard = listen(tab);
  await tab.pull(CAR);
  assert.equal((await stored(tab, 'sent')).length, 2);
  assert.equal((await stored(tab, 'waiting')).length, 0);
  assert.equal(heard.length, 1);
});

test("the server's copy of an own operation takes the place of the phone's, with its clock", async () => {
  const { server, tab } = await newPhone();
  server.refuse = () => 'kept';
  const made = await tab.record(noteOf('one'));
  server.faults.push(['/sync/ops', 'lose']);
  await tab.flush();
  // What the server stored first is what holds, whatever this phone's clock was corrected to since.
  const first = `${String(Date.now() - 60_000).padStart(16, '0')}-00000`;
  server.ops.get(made.id).hlc = first;
  await tab.flush();
  assert.equal((await stored(tab, 'sent'))[0].hlc, made.hlc);
  await tab.write(['ops'], async (/** @type {any} */ tx) => {
    const held = await tx.objectStore('ops').get(made.id);
    await tx.objectStore('ops').put({ ...held, verdict: { code: 'kept', say: 'Gone.' }, seen: true });
  });
  assert.equal(await tab.pull(CAR), 1);
  const [held] = await stored(tab, 'sent');
  assert.deepEqual([held.hlc, held.op.hlc, held.seq], [first, first, 1]);
  assert.deepEqual(held.op, { ...made.op, hlc: first });
  assert.deepEqual([held.saved_at, held.verdict.say, held.seen], [made.saved_at, 'Gone.', true]);
});

test('a pull while a verdict is under way is not undone by the verdict', async () => {
  const { server, tab } = await newPhone();
  const made = await tab.record(noteOf('one'));
  const first = `${String(Date.now() - 60_000).padStart(16, '0')}-00000`;
  server.faults.push([
    '/sync/ops',
    (/** @type {any} */ request) => {
      const answer = server.handle(request);
      server.ops.get(made.id).hlc = first;
      return answer;
    },
  ]);
  const fetch = globalThis.fetch;
  globalThis.fetch = async (/** @type {any} */ path, /** @type {any} */ init) => {
    const answer = await fetch(path, init);
    if (path === '/sync/ops') await tab.pull(CAR);
    return answer;
  };
  await tab.flush();
  globalThis.fetch = fetch;
  const [held] = await stored(tab, 'sent');
  assert.deepEqual([held.hlc, held.op.hlc, held.seq], [first, first, 1]);
});

test('an answer lost while pulling loses nothing', async () => {
  const { server, tab } = await newPhone();
  server.takeOps([foreign(1)]);
  server.faults.push(['/sync/changes', 'lose']);
  await assert.rejects(tab.pull(CAR), { name: 'Pause' });
  assert.equal(await tab.pull(CAR), 1);
});

test('a restored backup is noticed while pulling, and everything held is given back', async () => {
  const { server, tab } = await newPhone();
  tab.afterSending(() => tab.pull(CAR));
  server.takeOps([foreign(1), foreign(2)]);
  await tab.record(noteOf('mine'));
  await tab.flush();
  assert.equal(server.ops.size, 3);
  server.restore(1);
  await tab.pull(CAR);
  assert.equal(tab.outboxStatus().waiting, 0, 'counted at the next round');
  assert.equal((await stored(tab, 'waiting')).length, 2);
  await tab.flush();
  assert.equal(server.ops.size, 3);
  assert.equal((await stored(tab, 'waiting')).length, 0);
});

test('a fresh start under the same store is given everything back too', async () => {
  const { server, tab } = await newPhone();
  await tab.record(noteOf('mine'));
  await tab.flush();
  await tab.pull(CAR);
  const answer = { store: server.store, now: Date.now(), mark: `${server.store}:0`, more: false, ops: [] };
  server.faults.push(['/sync/changes', () => ({ status: 200, body: { ...answer, fresh_start: true } })]);
  await tab.pull(CAR);
  assert.equal((await stored(tab, 'waiting')).length, 1);
});

test('a mark that the server does not know is given up and everything read again', async () => {
  const { server, tab } = await newPhone();
  server.takeOps([foreign(1)]);
  await tab.pull(CAR);
  const refusal = { code: 'malformed', again: 'never', detail: 'No such mark.' };
  server.faults.push(['/sync/changes', () => ({ status: 422, body: refusal })]);
  assert.equal(await tab.pull(CAR), 0);
  assert.equal(await tab.getMeta(`mark:${CAR}`), `${server.store}:1`);
});

/** A car to take. @param {any} server @param {string} version @param {Record<string, string>} tags @param {string} [build] */
function offer(server, version, tags, build = 'b1') {
  const things = (/** @type {string} */ part) =>
    Object.entries(tags)
      .filter(([url]) => url.startsWith(part))
      .map(([url, tag]) => ({ url, tag, bytes: 10 }));
  const assets = [{ url: `/a/${build}/css/base.css`, bytes: 5 }];
  server.pack = { version, build, as_of: 1000, pages: things('/under'), pictures: things('/photos'), assets };
  const handle = server.handle.bind(server);
  server.handle = (/** @type {any} */ request) => {
    if (request.path === `/sync/pack/${CAR}/pages`) return pagesTogether(JSON.parse(request.body).urls, tags);
    const known = tags[request.path] ?? assets.find(({ url }) => url === request.path)?.url;
    if (known) return { status: 200, body: `${request.path} ${known}`, type: 'text/html' };
    return handle(request);
  };
}

/** @param {string[]} urls @param {Record<string, string>} tags */
function pagesTogether(urls, tags) {
  const lines = urls
    .filter((url) => tags[url])
    .map((url) => JSON.stringify({ url, body: `${url} ${tags[url]}` }));
  return { status: 200, body: lines.map((line) => `${line}\n`).join(''), type: 'application/x-ndjson' };
}

const PAGES = {
  '/under': 'p1',
  [`/under/${CAR}`]: 'p2',
  [`/under/${CAR}/specs`]: 'p3',
  '/photos/aa/thumb': 'f1',
};

/** Everything that was asked for, pages too. @param {any} server */
const fetched = (server) =>
  server.log.flatMap((/** @type {any} */ { path, body }) => {
    if (path.endsWith('/pages')) return JSON.parse(body).urls;
    return path.startsWith('/sync') ? [] : [path];
  });

const pointers = async () => (await caches.match('/packs', { cacheName: 'underlamp-meta' }))?.json();

test('a car is taken whole, and only then is its copy the current one', async () => {
  const { server, tab } = await newPhone();
  offer(server, 'v1', PAGES);
  assert.equal(await tab.packOf(CAR), null);
  /** @type {any[]} */
  const seen = [];
  const pack = await tab.take(CAR, (/** @type {any} */ progress) => seen.push(progress));
  assert.deepEqual(seen.at(-1), { done: 5, total: 5, bytes: 45, bytesTotal: 45 });
  assert.deepEqual([pack.version, pack.complete, pack.items], ['v1', true, 5]);
  assert.deepEqual(await pointers(), [{ car: CAR, cache: `pack-${CAR}-v1`, build: 'b1' }]);
  const page = await caches.match(`/under/${CAR}`, { cacheName: `pack-${CAR}-v1` });
  assert.equal(await page?.text(), `/under/${CAR} p2`);
  assert.ok(await caches.match('/a/b1/css/base.css', { cacheName: 'shell-b1' }));
  assert.ok(await caches.match('/photos/aa/thumb', { cacheName: `pictures-${CAR}` }));
});

test('stopped half-way, it is not the current copy, and goes on from there', async () => {
  const { server, tab } = await newPhone();
  offer(server, 'v1', PAGES);
  for (let n = 0; n < 3; n++) server.faults.push(['/photos', 'drop']);
  await assert.rejects(tab.take(CAR), /connection was lost/);
  assert.equal(await pointers(), undefined);
  server.log.length = 0;
  await tab.take(CAR);
  assert.deepEqual(fetched(server), ['/photos/aa/thumb']);
  assert.equal((await pointers()).length, 1);
});

test('pages cut off half-way are kept as far as they came whole, and only the rest is asked for again', async () => {
  const { server, tab } = await newPhone();
  offer(server, 'v1', PAGES);
  server.faults.push([
    '/pages',
    (/** @type {any} */ request) => {
      const answer = server.handle(request);
      return { ...answer, body: answer.body.slice(0, answer.body.indexOf('\n') + 20) };
    },
  ]);
  await tab.take(CAR);
  const asked = server.log.filter((/** @type {any} */ { path }) => path.endsWith('/pages'));
  assert.deepEqual(
    asked.map((/** @type {any} */ { body }) => JSON.parse(body).urls),
    [
      ['/under', `/under/${CAR}`, `/under/${CAR}/specs`],
      [`/under/${CAR}`, `/under/${CAR}/specs`],
    ],
  );
  assert.equal((await pointers()).length, 1);
});

test('pages that never come leave the copy for later', async () => {
  const { server, tab } = await newPhone();
  offer(server, 'v1', PAGES);
  server.faults.push(['/pages', 'drop'], ['/pages', 503], ['/pages', 'lose']);
  await assert.rejects(tab.take(CAR), /connection was lost/);
  assert.equal(await tab.packOf(CAR), null);
});

test('a page keeps what every answer says of scripts and other sites', async () => {
  const { server, tab } = await newPhone();
  offer(server, 'v1', PAGES);
  const fetch = globalThis.fetch;
  globalThis.fetch = async (/** @type {any} */ path, /** @type {any} */ init) => {
    const answer = await fetch(path, init);
    answer.headers.set('content-security-policy', "default-src 'self'");
    return answer;
  };
  await tab.take(CAR);
  globalThis.fetch = fetch;
  const page = await caches.match('/under', { cacheName: `pack-${CAR}-v1` });
  assert.equal(page?.headers.get('content-security-policy'), "default-src 'self'");
  assert.equal(page?.headers.get('content-type'), 'text/html; charset=utf-8');
});

test('a missing or redirected page is never kept', async () => {
  const { server, tab } = await newPhone();
  offer(server, 'v1', PAGES);
  server.faults.push([
    '/pages',
    (/** @type {any} */ { body }) => {
      const { [`/under/${CAR}/specs`]: _gone, ...tags } = PAGES;
      return pagesTogether(JSON.parse(body).urls, tags);
    },
  ]);
  await assert.rejects(tab.take(CAR), /lacks .*specs/);
  assert.equal(await tab.packOf(CAR), null);
});

test('a newer version fetches what changed only, and takes the old one away', async () => {
  const { server, tab } = await newPhone();
  offer(server, 'v1', PAGES);
  await tab.take(CAR);
  server.log.length = 0;
  /** @type {any[]} */
  const news = [];
  tab.hear('pack', (/** @type {any} */ { phase }) => phase !== 'taking' && news.push(phase));
  assert.equal(await tab.refresh(CAR, { now: true }), false);
  const { '/photos/aa/thumb': _gone, ...pages } = PAGES;
  offer(server, 'v2', { ...pages, [`/under/${CAR}`]: 'p2-new' });
  assert.equal(await tab.refresh(CAR, { now: true }), true);
  assert.deepEqual(fetched(server), [`/under/${CAR}`]);
  assert.deepEqual(news, ['newer']);
  assert.equal(await caches.has(`pack-${CAR}-v1`), false);
  assert.equal((await pointers())[0].cache, `pack-${CAR}-v2`);
  assert.equal(await caches.match('/photos/aa/thumb', { cacheName: `pictures-${CAR}` }), undefined);
  const specs = await caches.match(`/under/${CAR}/specs`, { cacheName: `pack-${CAR}-v2` });
  assert.equal(await specs?.text(), `/under/${CAR}/specs p3`);
});

test('the server is not asked for the list of pages at every page', async () => {
  const { server, tab } = await newPhone();
  offer(server, 'v1', PAGES);
  await tab.take(CAR);
  server.log.length = 0;
  await tab.refresh(CAR);
  await tab.refresh(CAR);
  await (await openTab()).refresh(CAR);
  assert.equal(server.log.length, 1);
});

test('a refresh that fails leaves the copy as it was', async () => {
  const { server, tab } = await newPhone();
  offer(server, 'v1', PAGES);
  await tab.take(CAR);
  offer(server, 'v2', { ...PAGES, '/under': 'p1-new' });
  for (let n = 0; n < 3; n++) server.faults.push(['/pages', 'drop']);
  await assert.rejects(tab.refresh(CAR, { now: true }));
  assert.equal((await pointers())[0].cache, `pack-${CAR}-v1`);
  assert.ok(await caches.match('/under', { cacheName: `pack-${CAR}-v1` }));
});

test('a car that was never taken is not fetched behind the back', async () => {
  const { server, tab } = await newPhone();
  offer(server, 'v1', PAGES);
  assert.equal(await tab.refresh(CAR, { now: true }), false);
  assert.equal(server.log.length, 0);
});

test('a page closed before the pointer was written is mended at the next start', async () => {
  const { server, tab } = await newPhone();
  offer(server, 'v1', PAGES);
  await tab.take(CAR);
  await caches.delete('underlamp-meta');
  const next = await openTab();
  await next.point();
  assert.equal((await pointers())[0].cache, `pack-${CAR}-v1`);
});
