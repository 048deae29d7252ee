// @ts-check
/** A canvas that shows one frame of a recording, cut to where the lifter is. */
import { ink } from '../app/dom.js';
import { drawFigure } from './draw.js';
import { SEEN, personOf } from './joints.js';

/** @typedef {{ left: number, top: number, width: number, height: number }} Box px of the recording's picture */

/** Most px of the canvas, each way. */
const WIDE = 720;
const HIGH = 720;
/** What is shown before the first repetition and after the last, ms. */
const AROUND_MS = 1000;
const LOW = [
  'left_knee',
  'right_knee',
  'left_ankle',
  'right_ankle',
  'left_heel',
  'right_heel',
  'left_big_toe',
  'right_big_toe',
  'left_small_toe',
  'right_small_toe',
];
const FEET = ['left_heel', 'right_heel', 'left_big_toe', 'right_big_toe', 'left_ankle', 'right_ankle'];

export class Stage {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {any} recording
   * @param {Record<string, number>} index
   * @param {{ start_ms: number, end_ms: number }[]} [reps] the lifter is looked for about these only
   */
  constructor(canvas, recording, index, reps = []) {
    this.canvas = canvas;
    this.frames = recording.frames;
    this.index = index;
    this.bar = ['back', 'front', 'overhead'].includes(recording.load?.carry ?? '');
    const [from, to] = [(reps[0]?.start_ms ?? -Infinity) - AROUND_MS, (reps.at(-1)?.end_ms ?? Infinity) + AROUND_MS];
    const about = this.frames.filter((/** @type {any} */ f) => f.t_ms >= from && f.t_ms <= to);
    /** @type {Box} */
    this.whole = reach(about) ?? { left: 0, top: 0, ...recording.image };
    /** Knees and feet, for what the feet do; the whole where these are not seen. */
    /** @type {Box} */
    this.low =
      reach(
        about,
        LOW.map((joint) => index[joint]).filter((i) => i !== undefined),
      ) ?? this.whole;
    this.box = this.whole;
    this.scale = 1;
    this.shown = 0;
    this.figure = true;
    this.floor = floorOf(about, index);
    this.cut(false);
  }

  /** @param {boolean} low knees and feet only */
  cut(low) {
    this.box = low ? this.low : this.whole;
    const scale = Math.min(WIDE / this.box.width, HIGH / this.box.height);
    this.scale = scale;
    this.canvas.width = Math.max(1, Math.round(this.box.width * scale));
    this.canvas.height = Math.max(1, Math.round(this.box.height * scale));
  }

  /** From the recording's picture to the canvas. @param {ArrayLike<number>} p @returns {[number, number]} */
  place(p) {
    return [(p[0] - this.box.left) * this.scale, (p[1] - this.box.top) * this.scale];
  }

  /** @param {number} frame index */
  draw(frame = this.shown) {
    this.shown = frame;
    const pen = /** @type {CanvasRenderingContext2D} */ (this.canvas.getContext('2d'));
    const { width, height } = this.canvas;
    const inks = { ink: ink('--ink'), paper: ink('--sheet'), shade: ink('--shade'), soft: ink('--ink-soft'), rule: ink('--rule') };
    pen.fillStyle = inks.paper;
    pen.fillRect(0, 0, width, height);
    if (!this.figure) return;
    this.ground(pen, inks.rule);
    const points = this.frames[frame] && personOf(this.frames[frame]);
    if (!points) {
      pen.fillStyle = inks.ink;
      pen.font = `${Math.round(height / 30)}px sans-serif`;
      pen.fillText('nobody seen in this frame', 12, 12 + height / 30);
      return;
    }
    drawFigure(pen, points, this.index, (p) => this.place(p), inks, this.bar);
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

/** Everything seen, with a margin; null when nothing was. @param {any[]} frames @param {number[]} [only] these points @returns {Box | null} */
function reach(frames, only) {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const frame of frames) {
    // Points that the estimator did not give, or that no check uses, are left out.
    const person = personOf(frame) ?? [];
    for (const p of only ? only.map((i) => person[i]) : person) {
      if (!p || !(p[2] >= SEEN) || !Number.isFinite(p[0]) || !Number.isFinite(p[1])) continue;
      left = Math.min(left, p[0]);
      right = Math.max(right, p[0]);
      top = Math.min(top, p[1]);
      bottom = Math.max(bottom, p[1]);
    }
  }
  if (!(right > left && bottom > top)) return null;
  const margin = Math.max(bottom - top, only ? 0.5 * (right - left) : 0) * (only ? 0.16 : 0.09);
  return { left: left - margin * 1.5, top: top - margin, width: right - left + 3 * margin, height: bottom - top + 2 * margin };
}

/** Median height of the lowest foot points. @param {any[]} frames @param {Record<string, number>} index */
function floorOf(frames, index) {
  const lowest = frames
    .flatMap((frame) => {
      const points = personOf(frame);
      const ys = FEET.map((j) => points?.[index[j] ?? -1])
        .filter((p) => p && p[2] >= SEEN)
        .map((p) => /** @type {number[]} */ (p)[1]);
      return ys.length ? [Math.max(...ys)] : [];
    })
    .sort((a, b) => a - b);
  return lowest.length ? lowest[lowest.length >> 1] : null;
}
