// @ts-check
/**
 * Which bolt is next: the counter of a joint that is tightened by a picture. Pure. The same rule as the server's
 * `trade/bolt_order/count.rs`; both run `tests/vectors/bolts.json`.
 *
 * Joint after joint; in each, stage after stage; in each stage, bolt after bolt in the order of tightening. The next bolt is the
 * first of these that is not tight.
 *
 * @typedef {object} Joint
 * @property {number[]} order numbers of the bolts of one joint from 1, in the order of tightening
 * @property {number} stages
 * @property {number} joints alike, one after the other
 *
 * One bolt in one stage; all from 1. `turn`: when it is its turn within the stage; `bolt`: its number, counted on through the
 * joints.
 * @typedef {{joint: number, stage: number, turn: number, bolt: number}} At
 *
 * `back`: the one before the next, which ‘back one’ opens again. A bolt counts once for each stage.
 * @typedef {{next: At|null, back: At|null, tight: number, all: number, by_stage: number[]}} Count
 */

/** Name of the rule, as the server's `trade/checker/rule.rs` has it. */
export const BOLTS_LEFT = 'bolts-left';

/** @param {Joint} joint @returns {At[]} */
function sequence({ order, stages, joints }) {
  const upTo = (/** @type {number} */ count) => Array.from({ length: count }, (_, index) => index + 1);
  return upTo(joints).flatMap((joint) =>
    upTo(stages).flatMap((stage) =>
      order.map((place, index) => ({
        joint,
        stage,
        turn: index + 1,
        bolt: (joint - 1) * order.length + place,
      })),
    ),
  );
}

/** @param {number} stage @param {number} bolt */
export function keyOf(stage, bolt) {
  return `${stage}:${bolt}`;
}

/**
 * @param {Joint} joint
 * @param {Set<string>} tight keys of what is tight
 * @returns {Count}
 */
export function count(joint, tight) {
  /** @type {Count} */
  const found = { next: null, back: null, tight: 0, all: 0, by_stage: Array(joint.stages).fill(0) };
  for (const at of sequence(joint)) {
    found.all += 1;
    if (tight.has(keyOf(at.stage, at.bolt))) {
      found.tight += 1;
      found.by_stage[at.stage - 1] += 1;
    } else found.next ??= at;
    if (!found.next) found.back = at;
  }
  return found;
}

/**
 * What is tight at a step: the latest press of each counts.
 * @param {import('./fold.js').CarState} state
 * @param {string} step
 */
export function tightAt(state, step) {
  const said = [...(state.bolts.get(step)?.values() ?? [])].map(({ last }) => last?.body);
  return new Set(
    said
      .filter((body) => body?.state === 'done')
      .map((/** @type {any} */ { stage, bolt }) => keyOf(stage, bolt)),
  );
}

/** `Head bolts, stage 2 of 3`; by the item alone where there is but one. @param {string} item @param {number} stage @param {number} stages */
export function stageName(item, stage, stages) {
  return stages > 1 ? `${item}, stage ${stage} of ${stages}` : item;
}

/**
 * What is asked when a step is ticked while bolts are left.
 * @param {Joint} joint
 * @param {Count} found
 * @param {string} [word] what is tightened: `bolt` or `nut`
 * @returns {import('./guard.js').Guard|null}
 */
export function leftGuard({ stages }, { next, tight, all }, word = 'bolt') {
  if (!next) return null;
  const left = all - tight;
  const turn = `${word} ${next.turn}`;
  const at = stages > 1 ? `stage ${next.stage} of ${stages}, ${turn}` : turn;
  return {
    rule: BOLTS_LEFT,
    weight: 'warn',
    headline: 'Bolts are not counted tight yet',
    say: `${left === 1 ? `1 ${word} is` : `${left} ${word}s are`} left of ${all}: next is ${at}.`,
    mend: 'Go back and tighten them in the order of the picture.',
    passed: false,
  };
}
