// @ts-check
/**
 * How far an operation has come, in words. `waiting` is safe on this phone.
 * @type {Record<import('../work/fold.js').Item['mark'], string>}
 */
export const MARK_WORDS = {
  saving: 'saving',
  waiting: 'saved on this phone',
  sent: 'sent',
  refused: 'needs a look',
  failed: 'not saved',
};
