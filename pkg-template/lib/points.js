// The points of one frame, in any of the accepted forms, as one flat list of x, y, score.
import { bad } from './error.js';
import { numbersAt } from './module.js';

const NOTHING = new Float64Array(0);

const isList = (value) => Array.isArray(value) || (ArrayBuffer.isView(value) && !(value instanceof DataView));
const isPoint = (value) => (isList(value) ? value.length <= 3 : typeof value === 'object' && 'x' in value);
/** What is there of a list tells its form: its first may be missing. */
const firstOf = (list) => list.find((value) => value != null);

/**
 * Writes everybody's points into the module's memory, one flat list that is used again for every frame.
 * A point that is null, or of which a number is null, absent or not a number, counts as unseen (a score that is left out is 1); an
 * infinite one is refused.
 */
export class Flattener {
  #raw;
  /** Room for this many people, and their numbers so far. */
  #places = 1;
  #room = NOTHING;

  constructor(raw) {
    this.#raw = raw;
    this.count = raw.count;
    this.people = 0;
  }

  /** Takes a frame's points; gives the number of people. */
  take(points) {
    this.people = 0;
    if (points == null) return 0;
    if (!isList(points)) throw bad('points', 'must be a list of points, or null when nobody was found');
    const first = firstOf(points);
    if (typeof first === 'number') this.#flat(points, 'points');
    else if (isPoint(first)) this.#person(points, 'points');
    else points.forEach((person, i) => this.#someone(person, `people[${i}]`));
    return this.people;
  }

  #view() {
    if (this.#room.length === 0) this.#room = numbersAt(this.#raw.room(this.#places), this.#places * this.count * 3);
    return this.#room;
  }

  #someone(person, field) {
    if (person == null) return;
    if (!isList(person)) throw bad(field, 'must be a list of points');
    if (typeof firstOf(person) === 'number') this.#flat(person, field);
    else this.#person(person, field);
  }

  /** x, y, score, x, y, score, ... */
  #flat(list, field) {
    const wanted = this.count * 3;
    if (list.length !== wanted) {
      throw bad(field, `has ${list.length} numbers, the layout has ${this.count} points with x, y and score: ${wanted}`);
    }
    const at = this.#grow();
    const room = this.#view();
    if (Array.isArray(list)) for (let i = 0; i < wanted; i++) room[at + i] = number(list[i], field, i / 3, i % 3);
    else room.set(list, at);
  }

  /** [[x, y, score], ...] or [{ x, y, score }, ...] */
  #person(list, field) {
    if (list.length !== this.count) throw bad(field, `has ${list.length} points, the layout has ${this.count}`);
    let at = this.#grow();
    const room = this.#view();
    for (let i = 0; i < this.count; i++, at += 3) {
      const point = list[i] ?? [null, null, 0];
      const { x, y, visibility = 1, score = visibility } = point;
      const xys = isList(point) ? point : [x, y, score];
      if (!(xys.length === 2 || xys.length === 3)) throw bad(`${field}[${i}]`, 'must be x, y, score');
      room[at + 2] = 1;
      for (let k = 0; k < xys.length; k++) room[at + k] = number(xys[k], field, i, k);
    }
  }

  /** Room for one more person; gives the place of the first number. */
  #grow() {
    const at = this.people * this.count * 3;
    this.people += 1;
    if (this.people > this.#places) {
      this.#places = this.people;
      this.#room = NOTHING;
    }
    return at;
  }
}

function number(value, field, point, axis) {
  if (typeof value === 'number') return value;
  // Not seen.
  if (value == null) return NaN;
  throw bad(`${field}[${Math.floor(point)}].${['x', 'y', 'score'][axis]}`, 'must be a number');
}
