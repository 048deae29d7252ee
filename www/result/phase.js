// @ts-check
/** Curves of one check laid over each other by phase: 0 start, 1 bottom, 2 end. */

/** Steps from start to end; the same for every repetition so that they lie over each other. */
const STEPS = 80;
export const PHASES = Array.from({ length: STEPS + 1 }, (_, i) => (2 * i) / STEPS);

/**
 * @param {number[]} t_ms rising
 * @param {(number | null)[]} values
 * @param {{ start_ms: number, bottom_ms: number, end_ms: number }} rep
 * @returns {(number | null)[]} one value a phase; null where unseen
 */
export function byPhase(t_ms, values, rep) {
  let i = 0;
  return PHASES.map((phase) => {
    const t = phase <= 1 ? rep.start_ms + phase * (rep.bottom_ms - rep.start_ms) : rep.bottom_ms + (phase - 1) * (rep.end_ms - rep.bottom_ms);
    while (i + 1 < t_ms.length && t_ms[i + 1] < t) i += 1;
    const [a, b] = [values[i], values[Math.min(i + 1, values.length - 1)]];
    if (a === null || a === undefined || b === null || b === undefined) return a ?? b ?? null;
    const span = t_ms[i + 1] - t_ms[i];
    return span > 0 ? a + ((b - a) * Math.min(1, Math.max(0, t - t_ms[i]))) / Math.max(span, 1) : a;
  });
}

/** @param {{ start_ms: number, bottom_ms: number, end_ms: number }} rep @param {number} t_ms */
export function phaseOf({ start_ms, bottom_ms, end_ms }, t_ms) {
  const phase = t_ms <= bottom_ms ? (t_ms - start_ms) / (bottom_ms - start_ms || 1) : 1 + (t_ms - bottom_ms) / (end_ms - bottom_ms || 1);
  return Math.min(2, Math.max(0, phase));
}
