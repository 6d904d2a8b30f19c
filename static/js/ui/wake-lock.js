// @ts-check
/**
 * Keeping the screen on, and saying whether it is.
 *
 * The browser lets go of it when the page is hidden, and some give it back only after a tap: so it is asked for again at
 * the next tap. Markup: `data-awake` is filled with words and gets `data-held` = `yes` or `no`.
 */
import { all } from '../lib/page.js';
import { attr, say } from './dom.js';
import { afterFrame } from './work.js';

/** @type {WakeLockSentinel|null} */
let held = null;
let wanted = false;

const ON = 'Screen stays on';
const OFF = 'Screen may go dark: tap once, or set a longer auto-lock on this phone';

/** Begins; done once for a page. */
export async function keepAwake() {
  if (wanted) return;
  wanted = true;
  // Not in the tap's own turn: what was tapped is to be seen first.
  document.addEventListener('click', () => afterFrame(() => void ask()));
  document.addEventListener('visibilitychange', () => void ask());
  await ask();
}

async function ask() {
  if (held || document.visibilityState !== 'visible') return paint();
  try {
    held = (await navigator.wakeLock?.request('screen')) ?? null;
    held?.addEventListener('release', () => {
      held = null;
      paint();
    });
  } catch {
    // Refused: low battery, or a tap is needed first. The words on the page say so.
  }
  paint();
}

function paint() {
  for (const element of all('[data-awake]')) {
    attr(element, 'data-held', held ? 'yes' : 'no');
    say(element, held ? ON : OFF);
  }
}
