// @ts-check
/** Draws the feet as the package follows them, over the picture: a person sees whether it holds. */
import { ink } from '../app/dom.js';

/**
 * @typedef {[number, number]} Point
 * @typedef {{ outline: Point[], heel: Point | null, big_toe: Point | null, small_toe: Point | null, lost: string | null }} Foot
 * @typedef {{ left: Foot | null, right: Foot | null }} Feet
 */

/**
 * The outline of what is followed, and the three points of contact: a square for the heel, a ring for the big toe's base, a
 * triangle for the little toe's.
 * @param {CanvasRenderingContext2D} pen
 * @param {Feet | null | undefined} feet
 * @param {(p: Point) => Point} place from the recording's picture to the canvas
 */
export function drawFeet(pen, feet, place) {
  for (const foot of [feet?.left, feet?.right]) {
    if (!foot || foot.lost) continue;
    const around = foot.outline.map(place);
    const size = Math.max(2.5, Math.min(9, spread(around) / 16));
    const line = Math.max(1, size / 4);
    pen.lineJoin = 'round';
    twice(pen, line, () => trace(pen, around));
    if (foot.heel)
      twice(pen, 1.3 * line, () =>
        corners(pen, place(/** @type {Point} */ (foot.heel)), size, [
          [-1, -1],
          [1, -1],
          [1, 1],
          [-1, 1],
        ]),
      );
    if (foot.big_toe) {
      const [x, y] = place(foot.big_toe);
      twice(pen, 1.3 * line, () => {
        pen.moveTo(x + size, y);
        pen.arc(x, y, size, 0, 2 * Math.PI);
      });
    }
    if (foot.small_toe)
      twice(pen, 1.3 * line, () =>
        corners(pen, place(/** @type {Point} */ (foot.small_toe)), size, [
          [0, -1.2],
          [1.1, 0.8],
          [-1.1, 0.8],
        ]),
      );
  }
}

/** Light under dark, so that it shows on any floor and shoe. @param {CanvasRenderingContext2D} pen @param {number} width @param {() => void} draw */
function twice(pen, width, draw) {
  for (const [w, colour] of /** @type {const} */ ([
    [width * 2.2, ink('--sheet')],
    [width, ink('--ink')],
  ])) {
    pen.lineWidth = w;
    pen.strokeStyle = colour;
    pen.beginPath();
    draw();
    pen.stroke();
  }
}

/** @param {CanvasRenderingContext2D} pen @param {Point[]} points */
function trace(pen, points) {
  points.forEach((p, i) => pen[i ? 'lineTo' : 'moveTo'](...p));
  if (points.length) pen.closePath();
}

/** @param {CanvasRenderingContext2D} pen @param {Point} at @param {number} size @param {Point[]} shape */
function corners(pen, [x, y], size, shape) {
  trace(
    pen,
    shape.map(([dx, dy]) => [x + dx * size, y + dy * size]),
  );
}

/** @param {Point[]} points */
function spread(points) {
  const [xs, ys] = [points.map((p) => p[0]), points.map((p) => p[1])];
  return points.length ? Math.max(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)) : 0;
}
