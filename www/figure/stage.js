// @ts-check
/** A canvas that shows one frame of a recording, cut to where the lifter is. */
import { ink } from '../app/dom.js';
import { drawFigure } from './draw.js';
import { SEEN, personOf } from './joints.js';

/** @typedef {{ left: number, top: number, width: number, height: number }} Box */

export class Stage {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {any} recording
   * @param {Record<string, number>} index
   */
  constructor(canvas, recording, index) {
    this.canvas = canvas;
    this.frames = recording.frames;
    this.index = index;
    this.bar = ['back', 'front', 'overhead'].includes(recording.load?.carry ?? '');
    this.box = reach(this.frames, recording.image);
    this.shown = 0;
    this.floor = floorOf(this.frames, index);
    const scale = Math.min(560 / this.box.width, 720 / this.box.height);
    canvas.width = Math.max(1, Math.round(this.box.width * scale));
    canvas.height = Math.max(1, Math.round(this.box.height * scale));
    this.scale = canvas.width / this.box.width;
  }

  /** @param {number} frame index */
  draw(frame = this.shown) {
    this.shown = frame;
    const pen = /** @type {CanvasRenderingContext2D} */ (this.canvas.getContext('2d'));
    const { width, height } = this.canvas;
    const inks = {
      ink: ink('--ink'), paper: ink('--sheet'), wash: ink('--wash'),
      pencil: ink('--pencil'), rule: ink('--rule'),
    };
    pen.fillStyle = inks.paper;
    pen.fillRect(0, 0, width, height);
    this.ground(pen, inks.rule);
    const points = this.frames[frame] && personOf(this.frames[frame]);
    if (!points) {
      pen.fillStyle = inks.ink;
      pen.font = `${Math.round(height / 30)}px sans-serif`;
      pen.fillText('nobody seen in this frame', 12, 12 + height / 30);
      return;
    }
    drawFigure(pen, points, this.index, (p) => [(p[0] - this.box.left) * this.scale, (p[1] - this.box.top) * this.scale], inks, this.bar);
  }

  /** @param {CanvasRenderingContext2D} pen @param {string} rule */
  ground(pen, rule) {
    if (this.floor === null) return;
    const y = (this.floor - this.box.top) * this.scale;
    pen.strokeStyle = rule;
    pen.lineWidth = 1.5;
    pen.beginPath();
    for (let x = -40; x < this.canvas.width + 20; x += 14) {
      pen.moveTo(x, y + 12);
      pen.lineTo(x + 10, y);
    }
    pen.moveTo(0, y);
    pen.lineTo(this.canvas.width, y);
    pen.stroke();
  }
}

/** Everything seen, with a margin; the whole picture when nothing was. @param {any[]} frames @param {{ width: number, height: number }} image @returns {Box} */
function reach(frames, image) {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const frame of frames) {
    for (const point of personOf(frame) ?? []) {
      // A point that the estimator did not give, or that no check uses.
      if (!point) continue;
      const [x, y, score] = point;
      if (!(score >= SEEN) || !Number.isFinite(x) || !Number.isFinite(y)) continue;
      left = Math.min(left, x);
      right = Math.max(right, x);
      top = Math.min(top, y);
      bottom = Math.max(bottom, y);
    }
  }
  if (!(right > left && bottom > top)) return { left: 0, top: 0, width: image.width, height: image.height };
  const margin = (bottom - top) * 0.09;
  return { left: left - margin * 1.5, top: top - margin, width: right - left + 3 * margin, height: bottom - top + 2 * margin };
}

/** Median height of the lowest foot points. @param {any[]} frames @param {Record<string, number>} index */
function floorOf(frames, index) {
  const lowest = frames.flatMap((frame) => {
    const points = personOf(frame);
    const ys = ['left_heel', 'right_heel', 'left_big_toe', 'right_big_toe', 'left_ankle', 'right_ankle']
      .map((j) => points?.[index[j] ?? -1]).filter((p) => p && p[2] >= SEEN).map((p) => /** @type {number[]} */ (p)[1]);
    return ys.length ? [Math.max(...ys)] : [];
  }).sort((a, b) => a - b);
  return lowest.length ? lowest[lowest.length >> 1] : null;
}
