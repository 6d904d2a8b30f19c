// @ts-check
/**
 * A helper's page: fetched anew whenever something of the job changes, and cleared as soon as the link is over.
 *
 * The server tells by events; where they do not come through, it is asked every few seconds. Markup: `data-job` with
 * `data-tag`, which stands for what is shown (`data-stays`: a step that was chosen, which stays); the template `over`;
 * `data-contact` with `data-words`.
 */
import { ask, askPage, NoAnswer } from '../lib/http.js';
import { moment } from '../lib/when.js';
import { one as found, say, setMark } from '../ui/dom.js';

/** How often is asked where no events come through, milliseconds. */
const ASK_EVERY = 5_000;
/** Failures of the event stream in a row after which is asked instead. */
const FAILURES = 3;
const GONE = 410;

export function start() {
  const watch = new Watch();
  watch.listen();
  // Shown again out of the browser's memory: whether the link still holds is not known.
  addEventListener('pageshow', (event) => event.persisted && void watch.askNow());
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void watch.askNow();
  });
}

class Watch {
  failures = 0;
  over = false;
  /** @type {EventSource|null} */
  source = null;
  /** @type {ReturnType<typeof setInterval>|undefined} */
  asking = undefined;

  listen() {
    this.heard();
    const source = new EventSource('/h/live');
    this.source = source;
    source.addEventListener('told', (event) => void this.told(JSON.parse(event.data)));
    source.addEventListener('over', () => this.end());
    source.addEventListener('open', () => {
      this.failures = 0;
      this.heard();
    });
    source.addEventListener('error', () => {
      this.failures += 1;
      this.lost();
      if (this.failures < FAILURES && source.readyState !== EventSource.CLOSED) return;
      source.close();
      this.asking ??= setInterval(() => void this.askNow(), ASK_EVERY);
      void this.askNow();
    });
  }

  async askNow() {
    if (this.over) return;
    try {
      const { status, body } = await ask('/h/now', {});
      if (status === GONE || status === 401) return this.end();
      if (status === 200) await this.told(body);
    } catch (error) {
      if (!(error instanceof NoAnswer)) throw error;
      this.lost();
    }
  }

  /** @param {{tag: string}} news */
  async told({ tag }) {
    this.heard();
    const job = found('[data-job]');
    if (job.dataset.tag === tag || 'stays' in job.dataset) return;
    const { status, text } = await askPage(location.pathname).catch(() => ({ status: 0, text: '' }));
    if (status === GONE || status === 401) return this.end();
    if (status !== 200) return this.lost();
    const fresh = new DOMParser().parseFromString(text, 'text/html').querySelector('[data-job]');
    if (!fresh) return;
    job.replaceWith(document.adoptNode(fresh));
  }

  /** Nothing of the job stays on this phone. */
  end() {
    this.over = true;
    this.source?.close();
    clearInterval(this.asking);
    const words = document.querySelector('template[data-template="over"]');
    const main = found('#main');
    main.replaceChildren();
    if (words instanceof HTMLTemplateElement) main.append(words.content.cloneNode(true));
    for (const deed of document.querySelectorAll('.deed')) deed.remove();
    this.contact('lost', 'The link is over');
    document.title = 'Underlamp';
  }

  heard() {
    this.contact('reach', `Live, heard ${moment(Date.now())}`);
  }

  lost() {
    if (!this.over) this.contact('lost', 'Not in reach: this may be old');
  }

  /** @param {string} mark @param {string} words */
  contact(mark, words) {
    const item = found('[data-contact]');
    setMark(found('.mark', item), mark);
    say(found('[data-words]', item), words);
  }
}
