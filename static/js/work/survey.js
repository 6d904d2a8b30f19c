// @ts-check
/**
 * How far the survey is, and which question is next. Pure. The counting is the server's `survey/list.rs`; both run
 * `tests/vectors/survey.json`.
 *
 * What the server put into the page as `data-json="survey"`: each text once, `cautions` and `kinds` by the names that
 * questions give.
 * @typedef {object} Question
 * @property {string} key
 * @property {string} ask
 * @property {string} look
 * @property {string} fine
 * @property {string} watch
 * @property {string} act
 * @property {boolean} [helper]
 * @property {string} [photo]
 * @property {string[]} [cautions]
 * @property {[string, string]} [read] what is read off, and the name of its kind
 *
 * @typedef {{key: string, title: string, intro: string, questions: Question[]}} Area
 * @typedef {{areas: Area[], cautions: Record<string, [string, string]>, kinds: Record<string, [string, string][]>, ranked_at: string}} Survey
 *
 * @typedef {{asked: number, answered: number, act: number, watch: number, unknown: number}} Tally
 *
 * Only `last` is looked at: the answer that holds.
 * @typedef {Map<string, import('./fold.js').Said>} Answers by question
 */

/**
 * @param {{key: string}[]} questions
 * @param {Answers} answers
 * @returns {Tally}
 */
export function tally(questions, answers) {
  const sum = { asked: 0, answered: 0, act: 0, watch: 0, unknown: 0 };
  for (const { key } of questions) {
    sum.asked += 1;
    const given = /** @type {'fine'|'watch'|'act'|'unknown'|undefined} */ (
      answers.get(key)?.last?.body.answer
    );
    if (!given) continue;
    sum.answered += 1;
    if (given !== 'fine') sum[given] += 1;
  }
  return sum;
}

/** `2 to be done, 1 not known`; empty where all is fine. @param {Tally} tally */
export function tallyWords({ act, unknown, watch }) {
  const said = [
    { n: act, words: 'to be done' },
    { n: unknown, words: 'not known' },
    { n: watch, words: 'to watch' },
  ];
  return said
    .filter(({ n }) => n > 0)
    .map(({ n, words }) => `${n} ${words}`)
    .join(', ');
}

/**
 * The first question at or after a place of the walk that has no answer; from the beginning again where there is none.
 * @param {Question[]} walk
 * @param {Answers} answers
 * @param {number} from place in the walk, from 0
 * @returns {Question|null} null when all are answered
 */
export function nextOpen(walk, answers, from) {
  const isOpen = (/** @type {Question} */ { key }) => !answers.get(key)?.last;
  return walk.slice(from).find(isOpen) ?? walk.find(isOpen) ?? null;
}
