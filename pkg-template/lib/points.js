// The points of one frame, in any of the accepted forms, as one flat list of x, y, score.
import { bad } from './error.js';
import { numbersAt } from './module.js';

const NOTHING = new Float64Array(0);

const isList = (value) => Array.isArray(value) || (ArrayBuffer.isView(value) && !(value instanceof DataView));
const isPoint = (value) => value === null || (isList(value) ? value.length <= 3 : typeof value === 'object');

/**
 * Writes everybody's points into the module's memory, one flat list that is used again for every frame.
 * A point that is null, or of which a number is null or not a number, counts as unseen; an infinite one is refused.
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
    if (points === null || points === undefined) return 0;
    if (!isList(points)) throw bad('points', 'must be a list of points, or null when nobody was found');
    if (points.length === 0) return 0;
    const first = points[0];
    if (typeof first === 'number') this.#flat(points, 'points');
    else if (isPoint(first) && !(first === null && points.length !== this.count)) this.#person(points, 'points');
    else points.forEach((person, i) => this.#someone(person, `people[${i}]`));
    return this.people;
  }

  #view() {
    if (this.#room.length === 0) this.#room = numbersAt(this.#raw.room(this.#places), this.#places * this.count * 3);
    return this.#room;
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
      const point = list[i];
      if (point === null || point === undefined) {
        room[at] = room[at + 1] = NaN;
        room[at + 2] = 0;
        continue;
      }
      const xys = isList(point) ? point : [point.x, point.y, point.score ?? point.visibility];
      if (xys.length < 2) throw bad(`${field}[${i}]`, 'must be [x, y, score]');
      room[at] = number(xys[0], field, i, 0);
      room[at + 1] = number(xys[1], field, i, 1);
      room[at + 2] = xys[2] === undefined ? 1 : number(xys[2], field, i, 2);
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
  if (value === null) return NaN;
  throw bad(`${field}[${Math.floor(point)}].${['x', 'y', 'score'][axis]}`, 'must be a number');
}
