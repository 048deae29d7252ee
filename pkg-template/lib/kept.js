// The frames that the module keeps (src/wasm/session.rs), as those of a recording.
import { numbersAt } from './module.js';

/** The frames of the module's session after one instant and until another, where these are given. */
export function framesOf(raw, after, until) {
  const { count } = raw;
  const frames = [];
  for (let piece = 0, length; (length = raw.kept_length(piece)); piece++) {
    const numbers = numbersAt(raw.kept(piece), length);
    const list = (at) => numbers.subarray(at + 1, at + 1 + numbers[at]);
    for (let at = 0; at < length;) {
      const points = list(at + 1);
      const feet = list(at + 2 + points.length);
      const t_ms = numbers[at];
      if (t_ms > (after ?? -Infinity) && t_ms <= (until ?? Infinity)) frames.push({ ...frameOf(t_ms, points, count), ...feetOf(feet) });
      at += 3 + points.length + feet.length;
    }
  }
  return frames;
}

function frameOf(t_ms, flat, count) {
  const people = [];
  for (let at = 0; at < flat.length; at += count * 3) {
    people.push(Array.from({ length: count }, (_, i) => pointOf(flat, at + 3 * i)));
  }
  return people.length > 1 ? { t_ms, people } : { t_ms, points: people[0] ?? null };
}

function pointOf(flat, at) {
  const [x, y, score] = [flat[at], flat[at + 1], flat[at + 2]];
  return Number.isFinite(x) && Number.isFinite(y) ? [x, y, Number.isFinite(score) ? score : 0] : null;
}

/** The module's thirteen numbers a foot as the recording's `feet`; nothing when no picture came. */
function feetOf(flat) {
  if (!flat.length) return {};
  const foot = (at) => {
    const [lift, roll, ...contacts] = [0, 2, 4, 6, 8].map((k) => {
      const pair = [flat[at + k], flat[at + k + 1]];
      return pair.every(Number.isFinite) ? pair : null;
    });
    const set_by = [10, 11, 12].map((k) => flat[at + k]);
    const set = set_by.every(Number.isFinite) && { set_by };
    const ends = [13, 15].map((k) => [flat[at + k], flat[at + k + 1]]);
    const shin = ends.flat().every(Number.isFinite) && { shin_px: ends };
    return lift || roll || shin || contacts.some(Boolean)
      ? { ...(lift && { heel_lift_mm: lift }), ...(roll && { foot_roll_deg: roll }), contacts_px: contacts, ...shin, ...set }
      : null;
  };
  const [left, right] = [foot(0), foot(17)];
  return { feet: { ...(left && { left }), ...(right && { right }) } };
}
