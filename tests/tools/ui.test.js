/** What the page does around what it stores, with as much of a browser as that needs. */
import assert from 'node:assert/strict';
import { beforeEach, test } from 'node:test';
import { listen, newPhone, noteOf } from './phone.js';

/** @type {((event: any) => void)[]} */
let taps = [];
let reloads = 0;

class FakeElement {
  closest() {
    return this;
  }
}

beforeEach(() => {
  taps = [];
  reloads = 0;
  Object.assign(globalThis, {
    // With a document there would be other tabs to tell, and an open channel to them keeps the test from ending.
    BroadcastChannel: undefined,
    document: {
      addEventListener: (/** @type {string} */ _name, /** @type {any} */ act) => taps.push(act),
      querySelectorAll: () => [],
    },
    Element: FakeElement,
    HTMLElement: FakeElement,
    location: {
      origin: 'https://garage.test',
      reload: () => {
        reloads += 1;
      },
    },
  });
});

const tap = () => {
  for (const act of taps) act({ target: new FakeElement() });
};

test('a new version waits while something made here could not be stored', async () => {
  const { tab } = await newPhone();
  const worker = { controller: {}, addEventListener: () => {} };
  Object.assign(navigator, { serviceWorker: worker });
  const heard = listen(tab);
  tab.watchBuild({ waiting: null, installing: null, addEventListener: () => {} });
  const real = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = () => {
    throw new DOMException('No room', 'QuotaExceededError');
  };
  await assert.rejects(tab.record(noteOf('only in this page'))).finally(() => {
    IDBObjectStore.prototype.put = real;
  });
  tap();
  assert.equal(reloads, 0);
  await tab.saveAgain(heard.at(-1).records[0]);
  tab.tell('outbox', tab.outboxStatus());
  assert.equal(reloads, 1);
});

test('the browser is asked to keep the store when something is stored for the first time', async () => {
  const { tab } = await newPhone();
  let asked = 0;
  const persist = async () => {
    asked += 1;
    return true;
  };
  Object.assign(navigator, { storage: { persist } });
  await tab.watchStorage(false);
  assert.equal(asked, 0);
  await tab.record(noteOf('one'));
  await tab.record(noteOf('two'));
  assert.equal(asked, 1);
});
