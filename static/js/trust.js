// @ts-check

/**
 * Says whether this device trusts the lamp, by asking the app's own address in the background.
 * A browser does not tell a page why a request failed, so the reason is found by elimination:
 * the same server is asked by number, and over plain HTTP.
 */

/** @typedef {'asking' | 'trusted' | 'nameless' | 'unfetched' | 'untrusted' | 'away'} Verdict */

const PATIENCE_MS = 6000;
const FETCHED_MARK = 'underlamp-authority-fetched';

/**
 * Whether anything at all answers there over a connection this device accepts.
 * @param {string | undefined} url
 * @returns {Promise<boolean>}
 */
async function answers(url) {
  if (!url) return false;
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), PATIENCE_MS);
  try {
    await fetch(url, { mode: 'no-cors', cache: 'no-store', credentials: 'omit', signal: stop.signal });
    return true;
  } catch {
    return false;
  } finally {
    clearTimeout(timer);
  }
}

/**
 * Whether the certificate was fetched from this browser. Unknown counts as yes: then the page names
 * the later steps, which is the smaller mistake.
 * @returns {boolean}
 */
function wasFetched() {
  try {
    return localStorage.getItem(FETCHED_MARK) !== null;
  } catch {
    return true;
  }
}

function markFetched() {
  try {
    localStorage.setItem(FETCHED_MARK, 'yes');
  } catch {
    // Private browsing without storage: only the hint about the missing step is coarser.
  }
}

/**
 * @param {HTMLElement} foot
 * @returns {Promise<Verdict>}
 */
async function judge(foot) {
  const [byName, byNumber, plain] = await Promise.all([
    answers(foot.dataset.canonical),
    answers(foot.dataset.byNumber),
    answers('/alive'),
  ]);
  if (byName) return 'trusted';
  if (byNumber) return 'nameless';
  if (!plain) return 'away';
  return wasFetched() ? 'untrusted' : 'unfetched';
}

/**
 * @param {HTMLElement} foot
 * @param {Verdict} verdict
 */
function show(foot, verdict) {
  foot.dataset.verdict = verdict;
  for (const words of foot.querySelectorAll('[data-when]')) {
    if (words instanceof HTMLElement) words.hidden = words.dataset.when !== verdict;
  }
  toggle(foot, '[data-open]', verdict === 'trusted');
  toggle(foot, '[data-look]', verdict !== 'trusted');
}

/**
 * @param {HTMLElement} foot
 * @param {string} which
 * @param {boolean} shown
 */
function toggle(foot, which, shown) {
  const part = foot.querySelector(which);
  if (part instanceof HTMLElement) part.hidden = !shown;
}

/** @param {HTMLElement} foot */
function start(foot) {
  let asking = false;
  const look = async () => {
    if (asking) return;
    asking = true;
    show(foot, 'asking');
    show(foot, await judge(foot));
    asking = false;
  };
  foot.querySelector('[data-look]')?.addEventListener('click', look);
  for (const link of document.querySelectorAll('[data-fetch]')) {
    link.addEventListener('click', markFetched);
  }
  // The person comes back from the settings: that is when the answer may have changed.
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') look();
  });
  look();
}

const foot = document.querySelector('[data-verdict]');
if (foot instanceof HTMLElement) start(foot);
