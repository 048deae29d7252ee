// @ts-check
/** The followed feet, enlarged in a corner of the picture: in a whole body's picture they are too small to judge by eye. */
import { ink } from '../app/dom.js';
import { drawFeet } from './tracked-foot.js';

/** @typedef {{ x: number, y: number, width: number, height: number }} Box px of the recording's picture */

/** Part of the canvas that the close-up may take, each way. */
const WIDE = 0.62;
const HIGH = 0.34;
/** Room about the feet, of their outlines' size. */
const ROOM = 0.5;

export class CloseUp {
  constructor() {
    /** @type {Box | null} */
    this.box = null;
  }

  /**
   * @param {CanvasRenderingContext2D} pen
   * @param {CanvasImageSource} picture
   * @param {number} own px of `picture` in one px of the recording's picture
   * @param {import('./tracked-foot.js').Feet | null | undefined} feet
   */
  draw(pen, picture, own, feet) {
    const points = [feet?.left, feet?.right].flatMap((foot) => foot?.outline ?? []);
    if (!points.length) return;
    const { x, y, width, height } = this.about(points);
    const scale = Math.min((WIDE * pen.canvas.width) / width, (HIGH * pen.canvas.height) / height);
    const [w, h] = [width * scale, height * scale];
    pen.imageSmoothingQuality = 'high';
    pen.drawImage(picture, x * own, y * own, width * own, height * own, 0, 0, w, h);
    pen.save();
    pen.beginPath();
    pen.rect(0, 0, w, h);
    pen.clip();
    drawFeet(pen, feet, ([px, py]) => [(px - x) * scale, (py - y) * scale]);
    pen.restore();
    pen.strokeStyle = ink('--edge');
    pen.lineWidth = 2;
    pen.strokeRect(0, 0, w, h);
  }

  /** The same box while the feet stay in it, so that a still foot stands still. @param {import('./tracked-foot.js').Point[]} points @returns {Box} */
  about(points) {
    const [xs, ys] = [points.map((p) => p[0]), points.map((p) => p[1])];
    const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    const old = this.box;
    if (old && left > old.x && right < old.x + old.width && top > old.y && bottom < old.y + old.height) return old;
    const room = ROOM * Math.max(bottom - top, 0.3 * (right - left));
    return (this.box = { x: left - room, y: top - room, width: right - left + 2 * room, height: bottom - top + 2 * room });
  }
}
