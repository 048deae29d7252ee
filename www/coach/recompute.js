// @ts-check
/** The client's numbers against those computed here. */
import { markOf, rows } from '../result/words.js';

/** Smaller differences are rounding, in any check's unit. */
const SAME = 0.05;

/**
 * What the sender's report says otherwise than today's, in words. The sender's report is a
 * stranger's data: anything may be missing from it.
 * @param {any} sent
 * @param {any} now
 */
export function differences(sent, now) {
  const reps = Array.isArray(sent?.reps) ? sent.reps : [];
  if (reps.length !== now.reps.length) return [`${reps.length} repetitions then, ${now.reps.length} now`];
  return rows().flatMap(({ check, side, name }) => {
    const changed = now.reps.filter((/** @type {any} */ rep, /** @type {number} */ i) => {
      const before = markOf(reps[i] ?? {}, check, side)?.value ?? null;
      const after = markOf(rep, check, side)?.value ?? null;
      return before === null || after === null ? before !== after : !(Math.abs(before - after) <= SAME);
    });
    return changed.length ? [`${name}: ${changed.length} of ${now.reps.length} repetitions`] : [];
  });
}
