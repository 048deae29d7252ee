// @ts-check
/** The lifter as a jointed drawing figure: outlined limbs, solid feet. The lifter's left is plain paper, the right is shaded. */
import { drawBar } from './bar.js';
import { SEEN } from './joints.js';

/** @typedef {{ ink: string, paper: string, shade: string, soft: string, rule: string }} Inks */
/** @typedef {(p: number[]) => [number, number]} Place from the recording's pixels to the canvas */

const LIMBS = /** @type {const} */ ([
  ['shoulder', 'elbow', 0.13],
  ['elbow', 'wrist', 0.11],
  ['hip', 'knee', 0.21],
  ['knee', 'ankle', 0.16],
]);

/**
 * @param {CanvasRenderingContext2D} pen
 * @param {(number[] | null)[]} points
 * @param {Record<string, number>} index
 * @param {Place} place
 * @param {Inks} inks
 * @param {boolean} [bar] there is one in the hands
 */
export function drawFigure(pen, points, index, place, inks, bar = false) {
  /** @param {string} joint @returns {[number, number] | null} */
  const at = (joint) => {
    const p = points[index[joint] ?? -1];
    return p && p[2] >= SEEN && Number.isFinite(p[0]) && Number.isFinite(p[1]) ? place(p) : null;
  };
  const unit = size(at);
  if (!unit) return;
  pen.lineJoin = 'round';
  if (bar) drawBar(pen, at('left_wrist'), at('right_wrist'), unit, inks.ink);
  pen.lineCap = 'round';
  torso(pen, at, unit, inks);
  for (const side of /** @type {const} */ (['right', 'left'])) {
    const fill = side === 'right' ? inks.shade : inks.paper;
    for (const [from, to, width] of LIMBS) limb(pen, at(`${side}_${from}`), at(`${side}_${to}`), width * unit, fill, inks.ink);
    foot(pen, at, side, unit, inks);
  }
  head(pen, at, unit, inks);
}

/** Body size on the canvas, from the longest segment that is seen. @param {(joint: string) => [number, number] | null} at */
function size(at) {
  let most = 0;
  for (const side of ['left', 'right']) {
    for (const [from, to, share] of /** @type {const} */ ([
      ['hip', 'shoulder', 1],
      ['knee', 'ankle', 0.85],
      ['hip', 'knee', 0.85],
    ])) {
      const [a, b] = [at(`${side}_${from}`), at(`${side}_${to}`)];
      if (a && b) most = Math.max(most, Math.hypot(a[0] - b[0], a[1] - b[1]) / share);
    }
  }
  return most;
}

/**
 * @param {CanvasRenderingContext2D} pen
 * @param {[number, number] | null} from
 * @param {[number, number] | null} to
 * @param {number} width
 * @param {string} fill
 * @param {string} edge
 */
function limb(pen, from, to, width, fill, edge) {
  if (!from || !to) return;
  const line = Math.max(1.5, width * 0.12);
  for (const [style, w] of /** @type {const} */ ([
    [edge, width],
    [fill, Math.max(1, width - 2 * line)],
  ])) {
    pen.strokeStyle = style;
    pen.lineWidth = w;
    pen.beginPath();
    pen.moveTo(...from);
    pen.lineTo(...to);
    pen.stroke();
  }
}

/** @param {CanvasRenderingContext2D} pen @param {(joint: string) => [number, number] | null} at @param {number} unit @param {Inks} inks */
function torso(pen, at, unit, inks) {
  const corners = ['left_shoulder', 'right_shoulder', 'right_hip', 'left_hip'].map(at);
  if (corners.some((c) => !c)) return;
  pen.beginPath();
  corners.forEach((c, i) => pen[i ? 'lineTo' : 'moveTo'](.../** @type {[number, number]} */ (c)));
  pen.closePath();
  pen.strokeStyle = inks.ink;
  pen.lineWidth = unit * 0.2;
  pen.stroke();
  pen.fillStyle = inks.paper;
  pen.strokeStyle = inks.paper;
  pen.lineWidth = unit * 0.15;
  pen.stroke();
  pen.fill();
}

/** @param {CanvasRenderingContext2D} pen @param {(joint: string) => [number, number] | null} at @param {string} side @param {number} unit @param {Inks} inks */
function foot(pen, at, side, unit, inks) {
  const [ankle, heel, big, small] = ['ankle', 'heel', 'big_toe', 'small_toe'].map((j) => at(`${side}_${j}`));
  const outline = [ankle, heel, small, big].filter((p) => p !== null);
  if (!heel || !(big || small)) return;
  pen.beginPath();
  outline.forEach((p, i) => pen[i ? 'lineTo' : 'moveTo'](...p));
  pen.closePath();
  pen.strokeStyle = pen.fillStyle = side === 'right' ? inks.soft : inks.ink;
  pen.lineWidth = Math.max(2, unit * 0.06);
  pen.stroke();
  pen.fill();
}

/** @param {CanvasRenderingContext2D} pen @param {(joint: string) => [number, number] | null} at @param {number} unit @param {Inks} inks */
function head(pen, at, unit, inks) {
  const ears = [at('left_ear'), at('right_ear')].filter((p) => p !== null);
  const centre = ears.length === 2 ? /** @type {[number, number]} */ ([(ears[0][0] + ears[1][0]) / 2, (ears[0][1] + ears[1][1]) / 2]) : (ears[0] ?? at('nose'));
  if (!centre) return;
  pen.beginPath();
  pen.ellipse(centre[0], centre[1], unit * 0.19, unit * 0.25, 0, 0, 2 * Math.PI);
  pen.fillStyle = inks.paper;
  pen.strokeStyle = inks.ink;
  pen.lineWidth = Math.max(1.5, unit * 0.025);
  pen.fill();
  pen.stroke();
}
