// @ts-check
/** Marks over a picture: a circle for the left leg, a square for the right one. */
import { ink } from '../app/dom.js';
import { PARTS, SIDES } from './joints.js';

/** Lines of a leg, by part. */
const LINES = /** @type {const} */ ([
  ['knee', 'ankle'],
  ['ankle', 'heel'],
  ['heel', 'big_toe'],
  ['heel', 'small_toe'],
  ['big_toe', 'small_toe'],
]);

/**
 * @param {CanvasRenderingContext2D} pen
 * @param {Partial<Record<string, readonly [number, number] | null>>} joints px of the picture
 * @param {(at: readonly [number, number]) => [number, number]} to px of the canvas
 * @param {number} size of a mark, px of the canvas
 * @param {string} [chosen] the joint that is being moved
 */
export function drawMarks(pen, joints, to, size, chosen) {
  for (const side of SIDES) {
    for (const [width, colour] of /** @type {const} */ ([
      [size * 0.7, ink('--sheet')],
      [size * 0.28, ink('--ink')],
    ])) {
      pen.lineWidth = width;
      pen.strokeStyle = colour;
      pen.beginPath();
      for (const [a, b] of LINES) {
        const [from, till] = [joints[`${side}_${a}`], joints[`${side}_${b}`]];
        if (!from || !till) continue;
        pen.moveTo(...to(from));
        pen.lineTo(...to(till));
      }
      pen.stroke();
    }
    for (const [part] of PARTS) {
      const at = joints[`${side}_${part}`];
      if (!at) continue;
      const [x, y] = to(at);
      const r = `${side}_${part}` === chosen ? 1.6 * size : size;
      pen.beginPath();
      if (side === 'left') pen.arc(x, y, r, 0, 2 * Math.PI);
      else pen.rect(x - r, y - r, 2 * r, 2 * r);
      pen.lineWidth = Math.max(2, size * 0.4);
      pen.strokeStyle = ink('--sheet');
      pen.stroke();
      pen.lineWidth = Math.max(1, size * 0.2);
      pen.strokeStyle = ink(`${side}_${part}` === chosen ? '--pencil' : '--ink');
      pen.stroke();
    }
  }
}
