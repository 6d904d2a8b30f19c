// @ts-check
/**
 * Saying a step with the browser's own voice, which many phones have without a network. Figures are said as the server wrote
 * them out (`data-said`), in whole words.
 *
 * Markup: in each step a button `data-aloud` (hidden where the browser has no voice); once in the page the box
 * `data-say-each`: whether each step is said as it is come to, remembered on this phone.
 */
import { getMeta, setMeta } from '../lib/db.js';
import { all, show } from '../lib/page.js';
import { one } from './dom.js';

const voice = globalThis.speechSynthesis;

/** What is said of a step: what to do, the harm first where there is one, then the figures. @param {HTMLElement} stage */
export function spoken(stage) {
  const part = (/** @type {string} */ selector) => stage.querySelector(selector)?.textContent?.trim() ?? '';
  const cautions = all('.caution', stage).map((caution) => caution.textContent?.trim() ?? '');
  const { said = '' } = stage.dataset;
  return [...cautions, `${part('.stage__verb')}. ${part('.stage__object')}`, said]
    .map((words) => words.replace(/\s+/g, ' '))
    .filter(Boolean)
    .join(' ');
}

/** @param {HTMLElement} stage */
export function say(stage) {
  if (!voice) return;
  // A second press is for silence.
  if (voice.speaking) return voice.cancel();
  const words = new SpeechSynthesisUtterance(spoken(stage));
  words.lang = document.documentElement.lang;
  words.rate = 0.95;
  voice.speak(words);
}

/** Silence: another step was come to, or the page goes. */
export function hush() {
  voice?.cancel();
}

/** Shows what only a browser with a voice can do. @returns {Promise<{each: () => boolean}>} */
export async function startVoice() {
  show('[data-aloud], [data-say-each]', Boolean(voice));
  const box = one('[data-say-each]').querySelector('input');
  if (!voice || !box) return { each: () => false };
  box.checked = (await getMeta('say-each')) === true;
  box.addEventListener('change', () => void setMeta('say-each', box.checked));
  addEventListener('pagehide', hush);
  return { each: () => box.checked };
}
