// @ts-check
/** The picture with the points that were found on it, small. */
import { ink } from '../app/dom.js';
import { CloseUp } from './close-up.js';
import { SEEN } from './joints.js';
import { drawFeet } from './tracked-foot.js';

/** Segments worth showing on a picture (BlazePose-33): the legs and the feet, and the line of the hips. */
const LINES = [
  [23, 24],
  [23, 25],
  [25, 27],
  [24, 26],
  [26, 28],
  [27, 29],
  [29, 31],
  [31, 27],
  [28, 30],
  [30, 32],
  [32, 28],
];

export class Overlay {
  /** @param {HTMLCanvasElement} canvas @param {number} width of the picture @param {number} height */
  constructor(canvas, width, height) {
    this.scale = Math.min(1, 720 / Math.max(width, height));
    canvas.width = Math.round(width * this.scale);
    canvas.height = Math.round(height * this.scale);
    this.near = new CloseUp();
    this.pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  }

  /**
   * @param {CanvasImageSource} picture
   * @param {Float32Array | null} points
   * @param {import('./tracked-foot.js').Feet} [feet] as they are followed in the picture
   */
  draw(picture, points, feet) {
    const { pen, scale } = this;
    pen.drawImage(picture, 0, 0, pen.canvas.width, pen.canvas.height);
    if (points) this.lines(points, feet);
    drawFeet(pen, feet, ([x, y]) => [x * scale, y * scale]);
    this.near.draw(pen, picture, 1, feet);
  }

  /** @param {Float32Array} points @param {import('./tracked-foot.js').Feet} [feet] */
  lines(points, feet) {
    const { pen, scale } = this;
    for (const [width, colour] of /** @type {const} */ ([
      [5, ink('--sheet')],
      [2, ink('--ink')],
    ])) {
      pen.lineWidth = width;
      pen.strokeStyle = colour;
      pen.beginPath();
      for (const [a, b] of LINES) {
        if (points[3 * a + 2] < SEEN || points[3 * b + 2] < SEEN) continue;
        // Where the foot itself is followed, guessed points would only hide it.
        if (b > 26 && a > 26 && feet?.[a % 2 ? 'left' : 'right']?.outline.length) continue;
        pen.moveTo(points[3 * a] * scale, points[3 * a + 1] * scale);
        pen.lineTo(points[3 * b] * scale, points[3 * b + 1] * scale);
      }
      pen.stroke();
    }
  }
}
