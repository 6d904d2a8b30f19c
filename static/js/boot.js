// @ts-check
/**
 * Where every page starts, and the map of the phone's engine.
 *
 *     pages/<name>.js   one page each: `export function start(page)`; named by <body data-page="name">
 *     ui/               what every page shows: status, scheme, screen kept on, lost storage, new version
 *     pack/             the copy of a car: take.js (all of it), fresh.js (what changed), pull.js (operations)
 *     outbox/           record.js and photos.js make operations; flush.js is the only sender (send.js, upload.js, server.js);
 *                       car.js is what a page reads; verdict.js is the table of what to do about an answer;
 *                       waiting.js, report.js: what needs a look, and the ways out
 *     work/             pure: op.js (vocabulary), fold.js, ledger.js, condition.js
 *     lib/              db.js (the only file that opens IndexedDB), bus.js (events), hlc, ids, http, backoff, sha256, page, when
 *
 * Imports go one way: pages → ui → pack → outbox → work → lib. The protocol is in DEVELOPERS.md. The service worker
 * (sw.js) only answers GET; everything that is sent is sent by a page.
 *
 * What a page uses:
 *     record({card, on: {step}, do: {tick: {state: 'done'}}})   outbox/record.js
 *     addPhoto(file, {card, on, caption})                       outbox/photos.js
 *     const car = await openCar(id); car.onChange(paint)        outbox/car.js
 *     take(car, onProgress)                                     pack/take.js
 *     saveDraft, readDraft, dropDraft                           outbox/drafts.js
 *     hear('outbox', paintStatus)                               lib/bus.js
 *
 * Invariants: nothing is called saved before its transaction is complete; nothing is marked sent before the server's
 * verdict; nothing that a person made is ever deleted here; no engine runs at a second address of the same garage.
 */
import { readPage, show } from './lib/page.js';
import { wake } from './outbox/clock.js';
import { afterSending, startSending } from './outbox/flush.js';
import { refresh } from './pack/fresh.js';
import { pull } from './pack/pull.js';
import { point } from './pack/take.js';
import { watchStorage } from './ui/lost-storage.js';
import { watchBuild } from './ui/new-build.js';
import { startScheme } from './ui/scheme.js';
import { startStatus } from './ui/status.js';

/** @typedef {import('./lib/page.js').Page} Page */

/** The engine: storing, sending, pulling. @param {Page} page */
async function startEngine({ device, car, kept }) {
  await wake(device);
  await watchStorage(kept);
  if (car) {
    afterSending(() => pull(car));
    afterSending(async () => {
      // Not waited for: fetching pages must not hold up what the person does meanwhile.
      refresh(car).catch(() => {});
    });
  }
  await startStatus(car);
  // Not waited for: the page works while the server is asked.
  startSending();
}

async function startWorker() {
  if (!navigator.serviceWorker) return;
  const registration = await navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' });
  watchBuild(registration);
  await point();
}

/** @param {Page} page @returns {Promise<{start?: (page: Page) => unknown}>} nothing for pages without a module */
async function loadPage({ name }) {
  return /^[a-z][a-z-]*$/.test(name) ? import(`./pages/${name}.js`) : {};
}

/** What could not be started is said on the page, in `data-engine-trouble` (hidden at first). @param {unknown} error */
function trouble(error) {
  console.error(error);
  show('[data-engine-trouble]', true);
}

/** Runs the page's own script alone: at the desk's own door pages work, and nothing is kept there. @param {Page} page */
async function startPage(page) {
  await loadPage(page)
    .then((module) => module.start?.(page))
    .catch(trouble);
}

async function boot() {
  const page = readPage();
  startScheme();
  if (page.canonical && page.canonical !== location.origin) {
    // Storage belongs to an address: work kept under a second one would be stranded there.
    show('[data-wrong-address]', true);
    if (document.documentElement.dataset.shell === 'desk') await startPage(page);
    return;
  }
  // Fetched while the engine starts; started after it, so that a page can record from its first line.
  const module = loadPage(page);
  module.catch(() => {});
  if (page.device) await startEngine(page).catch(trouble);
  const start = async () => (await module).start?.(page);
  await Promise.all([start().catch(trouble), page.device && startWorker().catch(trouble)]);
}

await boot();
