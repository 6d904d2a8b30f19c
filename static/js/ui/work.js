// @ts-check
/**
 * What has been done on a car, for painting: the operations on this phone and those which the server wrote into the page
 * (`data-json="ops"`), each once. An old page cannot take back what the phone knows, nor the phone what the page knows.
 *
 * @typedef {import('../work/op.js').Rec} Rec
 * @typedef {Awaited<ReturnType<typeof openWork>>} Work
 */
import { pageJson } from '../lib/page.js';
import { openCar } from '../outbox/car.js';
import { recordOf } from '../work/op.js';

/** @param {string} id of the car */
export async function openWork(id) {
  const car = await openCar(id);
  /** @type {Rec[]} */
  const drawn = (pageJson('ops') ?? []).map(
    (/** @type {import('../work/op.js').Op & {seq: number}} */ { seq, ...op }) => ({
      ...recordOf(op, 'known', 0),
      seq,
    }),
  );
  return {
    id,
    records() {
      const all = new Map(drawn.map((record) => [record.id, record]));
      for (const record of car.records()) all.set(record.id, record);
      return [...all.values()];
    },
    /**
     * Calls back now, and after every change: when the frame in which it happened has been painted.
     * @param {() => void} paint
     */
    onChange(paint) {
      let planned = false;
      let first = true;
      car.onChange(() => {
        if (first) {
          first = false;
          return paint();
        }
        if (planned) return;
        planned = true;
        afterFrame(() => {
          planned = false;
          paint();
        });
      });
    },
  };
}

/** Does something when the frame under way has been painted. @param {() => void} work */
export function afterFrame(work) {
  if (document.visibilityState === 'hidden') setTimeout(work);
  else requestAnimationFrame(() => setTimeout(work));
}
