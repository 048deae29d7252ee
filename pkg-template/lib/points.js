// The points of one frame, in any of the accepted forms, as one flat list of x, y, score.
import { bad } from './error.js';

const isList = (value) => Array.isArray(value) || (ArrayBuffer.isView(value) && !(value instanceof DataView));
const isPoint = (value) => value === null || (isList(value) ? value.length <= 3 : typeof value === 'object');

/**
 * Flat numbers as a recording's frame.
 */
export function frameOf(t_ms, flat, count) {
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

/**
 * Writes everybody's points into a flat list that is kept between frames.
 * A point that is null, or whose coordinate is not finite, counts as unseen.
 */
export class Flattener {
  constructor(count) {
    this.count = count;
    this.room = new Float64Array(count * 3);
    this.people = 0;
  }

  /** The frame's numbers, everybody's one after the other. */
  take(points) {
    this.people = 0;
    if (points === null || points === undefined) return this.room.subarray(0, 0);
    if (!isList(points)) throw bad('points', 'must be a list of points, or null when nobody was found');
    if (points.length === 0) return this.room.subarray(0, 0);
    const first = points[0];
    if (typeof first === 'number') this.#flat(points, 'points');
    else if (isPoint(first) && !(first === null && points.length !== this.count)) this.#person(points, 'points');
    else points.forEach((person, i) => this.#someone(person, `people[${i}]`));
    this.#refuseFractions();
    return this.room.subarray(0, this.people * this.count * 3);
  }

  #someone(person, field) {
    if (person === null || person === undefined) return;
    if (!isList(person)) throw bad(field, 'must be a list of points');
    if (typeof person[0] === 'number') this.#flat(person, field);
    else this.#person(person, field);
  }

  /** x, y, score, x, y, score, ... */
  #flat(list, field) {
    const wanted = this.count * 3;
    if (list.length !== wanted) {
      throw bad(field, `has ${list.length} numbers, the layout has ${this.count} points with x, y and score: ${wanted}`);
    }
    const at = this.#grow();
    if (!Array.isArray(list)) {
      this.room.set(list, at);
      return;
    }
    for (let i = 0; i < wanted; i++) this.room[at + i] = number(list[i], field, i / 3, i % 3);
  }

  /** [[x, y, score], ...] or [{ x, y, score }, ...] */
  #person(list, field) {
    if (list.length !== this.count) throw bad(field, `has ${list.length} points, the layout has ${this.count}`);
    let at = this.#grow();
    for (let i = 0; i < this.count; i++, at += 3) {
      const point = list[i];
      if (point === null || point === undefined) {
        this.room[at] = this.room[at + 1] = NaN;
        this.room[at + 2] = 0;
        continue;
      }
      const xys = isList(point) ? point : [point.x, point.y, point.score ?? point.visibility];
      if (xys.length < 2) throw bad(`${field}[${i}]`, 'must be [x, y, score]');
      this.room[at] = number(xys[0], field, i, 0);
      this.room[at + 1] = number(xys[1], field, i, 1);
      this.room[at + 2] = xys[2] === undefined ? 1 : number(xys[2], field, i, 2);
    }
  }

  /** Everything that was seen within two pixels of the corner: fractions of the picture, as many estimators give them. */
  #refuseFractions() {
    const end = this.people * this.count * 3;
    let seen = 0;
    for (let at = 0; at < end; at += 3) {
      if (!(this.room[at + 2] > 0.3)) continue;
      if (Math.abs(this.room[at]) > 2 || Math.abs(this.room[at + 1]) > 2) return;
      seen += 1;
    }
    if (seen >= 5) {
      throw bad('points', 'are fractions of the picture, not pixels: multiply x by image.width and y by image.height, or use underfoot/adapters');
    }
  }

  /** Room for one more person; gives the place of the first number. */
  #grow() {
    const at = this.people * this.count * 3;
    this.people += 1;
    const needed = this.people * this.count * 3;
    if (needed > this.room.length) {
      const larger = new Float64Array(needed);
      larger.set(this.room);
      this.room = larger;
    }
    return at;
  }
}

function number(value, field, point, axis) {
  if (typeof value === 'number') return value;
  throw bad(`${field}[${Math.floor(point)}].${['x', 'y', 'score'][axis]}`, 'must be a number');
}
