// @ts-check
/**
 * A new version of the program: said, and taken at a tap, never by itself. A page and its modules are of one build.
 *
 * Markup: `data-new-build` (hidden at first) with a button `data-new-build-take` in it, whose words are replaced while it
 * waits. It is taken when nothing is being sent and everything made here is stored: what could not be stored is only in
 * this page. What waits in the outbox is not touched by it.
 */
import { hear } from '../lib/bus.js';
import { onTap, show, write } from '../lib/page.js';
import { outboxStatus } from '../outbox/flush.js';

let asked = false;
/** Ids of what is not stored yet. @type {Set<string>} */
const unstored = new Set();

/** @param {ServiceWorkerRegistration} registration */
export function watchBuild(registration) {
  const look = () => {
    if (registration.waiting && navigator.serviceWorker.controller) show('[data-new-build]', true);
  };
  look();
  registration.addEventListener('updatefound', () => {
    registration.installing?.addEventListener('statechange', look);
  });
  hear('changed', ({ phase, records, elsewhere }) => {
    if (elsewhere) return;
    for (const { id } of records) {
      if (phase === 'saving') unstored.add(id);
      if (phase === 'saved') unstored.delete(id);
    }
  });
  onTap('[data-new-build-take]', () => {
    asked = true;
    write('[data-new-build-take]', 'Taking it when nothing is being sent …');
    takeWhenIdle(registration);
  });
  hear('outbox', () => takeWhenIdle(registration));
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    // Another tab's tap: this page goes on with its own modules, and offers to be loaded again.
    if (asked) location.reload();
  });
}

/** @param {ServiceWorkerRegistration} registration */
function takeWhenIdle(registration) {
  if (!asked || unstored.size || outboxStatus().busy) return;
  if (registration.waiting) registration.waiting.postMessage('switch');
  else location.reload();
}
