// @ts-check
/**
 * Keeping the screen on, and saying whether it is.
 *
 * The browser lets go of it when the page is hidden, and some give it back only after a tap: so it is asked for again at
 * the next tap. Markup: `data-awake` is filled with words and gets `data-held` = `yes` or `no`.
 */
import { all } from '../lib/page.js';

/** @type {WakeLockSentinel|null} */
let held = null;
let wanted = false;

const ON = 'Screen stays on';
const OFF = 'Screen may go dark: tap once, or set a longer auto-lock on this phone';

/** Begins; done once for a page. */
export async function keepAwake() {
  if (wanted) return;
  wanted = true;
  document.addEventListener('pointerdown', () => void ask(), { passive: true });
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
    const words = held ? ON : OFF;
    element.dataset.held = held ? 'yes' : 'no';
    if (element.textContent !== words) element.textContent = words;
  }
}
