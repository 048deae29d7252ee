// @ts-check
/** One frame's points, however a host keeps them, as the flat numbers that the module takes. */
import { UnderfootError } from './errors.js';

/** @param {string} reason @returns {never} */
function bad(reason) {
  throw new UnderfootError('bad-input', `points: ${reason}`);
}

/**
 * @param {unknown} points null, flat numbers, a list of points, or a list of people
 * @param {number} count points a person
 * @returns {Float32Array}
 */
export function flatten(points, count) {
  if (points === null || points === undefined) return new Float32Array(0);
  if (points instanceof Float32Array) return points;
  if (ArrayBuffer.isView(points) && 'length' in points) return Float32Array.from(/** @type {ArrayLike<number>} */ (/** @type {unknown} */ (points)));
  if (!Array.isArray(points)) return bad('must be a list, a typed array or null');
  if (points.length === 0) return new Float32Array(0);
  if (typeof points[0] === 'number') return Float32Array.from(points);
  // A list of points has numbers one level down, a list of people two.
  const first = points.find((p) => p !== null && p !== undefined);
  const people = isPoint(first) || first === undefined ? [points] : points.filter(Boolean);
  const out = new Float32Array(people.length * count * 3);
  people.forEach((person, p) => {
    if (!Array.isArray(person) || person.length !== count) bad(`has ${person?.length} points, the layout has ${count}`);
    person.forEach((point, i) => {
      const at = (p * count + i) * 3;
      if (point === null || point === undefined) return;
      out[at] = point[0] ?? NaN;
      out[at + 1] = point[1] ?? NaN;
      out[at + 2] = point[2] ?? 1;
    });
  });
  return out;
}

/** @param {unknown} value */
function isPoint(value) {
  return (Array.isArray(value) || ArrayBuffer.isView(value)) && typeof /** @type {any} */ (value)[0] === 'number';
}

/**
 * Flat numbers as the contract's frame.
 * @param {number} t_ms
 * @param {Float32Array} flat
 * @param {number} count
 */
export function frame(t_ms, flat, count) {
  /** @type {([number, number, number] | null)[][]} */
  const people = [];
  for (let p = 0; p < flat.length; p += count * 3) {
    people.push(Array.from({ length: count }, (_, i) => {
      const [x, y, score] = flat.subarray(p + 3 * i, p + 3 * i + 3);
      return Number.isFinite(x) && Number.isFinite(y) ? [x, y, Number.isFinite(score) ? score : 0] : null;
    }));
  }
  return people.length > 1 ? { t_ms, people } : { t_ms, points: people[0] ?? null };
}
