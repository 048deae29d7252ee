// @ts-check
/** What a check found, drawn on the lifter's own picture: where the knee stands against the foot's line, how high the heel is, how far the foot rolled, where the weight went. */
import { ink } from '../app/dom.js';
import { SEEN, personOf } from './joints.js';

/** Shank length of a person's height (Drillis and Contini 1966, as in Winter 2009, figure 4.1). */
const SHANK = 0.246;
/** Assumed where the report has no height, m. */
const HEIGHT_M = 1.72;
/** A direction that is foreshortened more than this can't be drawn. */
const FLAT = 0.25;
const RAD = Math.PI / 180;

/** @typedef {[number, number]} Point px of the recording's picture */
/** @typedef {{ check: string, side: 'left' | 'right' | null, value: number, fault: boolean, label: string }} Shown label: '' for none */

export class FaultMark {
  /**
   * @param {any} recording
   * @param {Record<string, number>} index
   * @param {any} report
   */
  constructor(recording, index, report) {
    this.frames = recording.frames;
    this.index = index;
    this.report = report;
    this.flip = recording.camera?.mirrored ? -1 : 1;
    this.azimuth = (report.view?.azimuth_deg ?? 0) * RAD;
    const { from_ms = -Infinity, to_ms = Infinity } = report.standing ?? {};
    this.still = this.frames.filter((/** @type {any} */ f) => f.t_ms >= from_ms && f.t_ms <= to_ms);
    /** @type {Map<string, Point | null>} */
    this.rest = new Map();
  }

  /** A joint in a frame. @param {string} joint @param {number} frame @returns {Point | null} */
  at(joint, frame) {
    const p = personOf(this.frames[frame] ?? {})?.[this.index[joint] ?? -1];
    return p && p[2] >= SEEN && Number.isFinite(p[0]) && Number.isFinite(p[1]) ? [p[0], p[1]] : null;
  }

  /** Where a joint is in quiet standing: the middle of its places. @param {string} joint @returns {Point | null} */
  standing(joint) {
    const known = this.rest.get(joint);
    if (known !== undefined) return known;
    const all = this.still.flatMap((/** @type {any} */ f) => {
      const p = personOf(f)?.[this.index[joint] ?? -1];
      return p && p[2] >= SEEN && Number.isFinite(p[0]) ? [p] : [];
    });
    const middle = (/** @type {number} */ i) =>
      all.map((/** @type {any} */ p) => p[i]).sort((/** @type {number} */ a, /** @type {number} */ b) => a - b)[all.length >> 1];
    const found = /** @type {Point | null} */ (all.length ? [middle(0), middle(1)] : null);
    this.rest.set(joint, found);
    return found;
  }

  /** Where the foot's line leaves it: a third of the way from the big toe to the little one, or the one toe point. @param {string} side @param {(joint: string) => Point | null} at */
  secondToe(side, at) {
    const [big, small] = [at(`${side}_big_toe`), at(`${side}_small_toe`)];
    return big && small ? /** @type {Point} */ ([big[0] + (small[0] - big[0]) / 3, big[1] + (small[1] - big[1]) / 3]) : (big ?? small);
  }

  /** How far the way toward the other foot runs to the picture's right, of its length. @param {'left' | 'right'} side */
  medial(side) {
    const out = (this.report.standing?.toe_out_deg?.[side] ?? 10) * RAD;
    // Axes of the floor: forward and the lifter's left; the picture's right is left cos(azimuth) - forward sin(azimuth).
    const sign = side === 'left' ? -1 : 1;
    return this.flip * (sign * Math.cos(out) * Math.cos(this.azimuth) - Math.sin(out) * Math.sin(this.azimuth));
  }

  /** Length of a shank in the picture while standing, px. */
  shank() {
    const long = ['left', 'right'].flatMap((side) => {
      const [knee, ankle] = [this.standing(`${side}_knee`), this.standing(`${side}_ankle`)];
      return knee && ankle ? [Math.hypot(knee[0] - ankle[0], knee[1] - ankle[1])] : [];
    });
    return long.length ? Math.max(...long) : 0;
  }

  /** Px of the picture for a millimetre at the feet. */
  perMm() {
    return this.shank() / (SHANK * 1000 * (this.report.standing?.height_m ?? HEIGHT_M));
  }

  /**
   * @param {CanvasRenderingContext2D} pen
   * @param {(p: Point) => [number, number]} place from the picture to the canvas
   * @param {number} frame
   * @param {Shown} shown
   */
  draw(pen, place, frame, shown) {
    const draw = { heel_lift_mm: this.heel, knee_in_deg: this.knee, foot_roll_deg: this.roll, forward_pct: this.forward, load_left_pct: this.load }[
      shown.check
    ];
    const lines = draw?.call(this, frame, shown);
    if (!lines) return;
    const unit = Math.max(2, pen.canvas.height / 180);
    const strong = ink(shown.fault ? '--pencil' : '--ink');
    pen.lineCap = 'round';
    pen.lineJoin = 'round';
    const { should, is, area, label } = lines;
    if (area) {
      pen.globalAlpha = 0.3;
      pen.fillStyle = strong;
      path(pen, area.map(place));
      pen.closePath();
      pen.fill();
      pen.globalAlpha = 1;
    }
    for (const line of should) stroke(pen, line.map(place), unit, ink('--ink'), [3 * unit, 2.4 * unit]);
    for (const line of is) stroke(pen, line.map(place), 1.7 * unit, strong, []);
    if (shown.label && label) write(pen, place(label), shown.label, Math.round(Math.max(15, pen.canvas.height / 20)));
  }

  /** @typedef {{ should: Point[][], is: Point[][], area?: Point[], label: Point }} Lines should: where it would be; is: where it is */

  /** The shank against the plane over the foot's line. @param {number} frame @param {Shown} shown @returns {Lines | null} */
  knee(frame, { side, value }) {
    if (!side) return null;
    const at = (/** @type {string} */ joint) => this.at(joint, frame);
    const [ankle, knee, heel, toe] = [at(`${side}_ankle`), at(`${side}_knee`), at(`${side}_heel`), this.secondToe(side, at)];
    const medial = this.medial(side);
    if (!ankle || !knee || Math.abs(medial) < FLAT) return null;
    const over = /** @type {Point} */ ([knee[0] - medial * this.shank() * Math.sin(value * RAD), knee[1]]);
    const foot = heel && toe ? [[heel, /** @type {Point} */ ([toe[0] + 0.8 * (toe[0] - heel[0]), toe[1] + 0.8 * (toe[1] - heel[1])])]] : [];
    return {
      should: [[ankle, over], ...foot],
      is: [[ankle, knee], cross(knee, this.shank() * 0.06)],
      area: [ankle, over, knee],
      label: [Math.max(over[0], knee[0]) + this.shank() * 0.1, knee[1]],
    };
  }

  /** The heel above the floor on which it stood. @param {number} frame @param {Shown} shown @returns {Lines | null} */
  heel(frame, { side, value }) {
    if (!side) return null;
    const heel = this.standing(`${side}_heel`);
    const toe = this.secondToe(side, (joint) => this.standing(joint));
    const now = this.at(`${side}_heel`, frame);
    if (!heel || !toe || !now) return null;
    const x = heel[0] + (now[0] - heel[0]) / 2 - Math.sign(toe[0] - heel[0] || 1) * this.shank() * 0.12;
    const up = Math.max(0, value) * this.perMm();
    const [low, high] = /** @type {[Point, Point]} */ ([
      [x, heel[1]],
      [x, heel[1] - up],
    ]);
    const tick = this.shank() * 0.06;
    const level = (/** @type {Point} */ p) =>
      /** @type {Point[]} */ ([
        [p[0] - tick, p[1]],
        [p[0] + tick, p[1]],
      ]);
    return {
      should: [
        [
          [x - tick, heel[1]],
          [2 * toe[0] - heel[0], heel[1]],
        ],
      ],
      is: [[low, high], level(low), level(high)],
      label: [x + 1.6 * tick, high[1] - tick],
    };
  }

  /** The foot's upright against its upright in standing. @param {number} frame @param {Shown} shown @returns {Lines | null} */
  roll(frame, { side, value }) {
    if (!side) return null;
    const at = (/** @type {string} */ joint) => this.at(joint, frame);
    const [ankle, heel] = [at(`${side}_ankle`), at(`${side}_heel`)];
    const toe = this.secondToe(side, at);
    const medial = this.medial(side);
    if (!ankle || !toe || Math.abs(medial) < FLAT) return null;
    const base = heel ? /** @type {Point} */ ([(heel[0] + toe[0]) / 2, Math.max(heel[1], toe[1])]) : toe;
    const long = this.shank() * 0.55;
    const tip = /** @type {Point} */ ([base[0] + medial * long * Math.sin(value * RAD), base[1] - long * Math.cos(value * RAD)]);
    const straight = /** @type {Point} */ ([base[0], base[1] - long]);
    return {
      should: [[base, straight]],
      is: [[base, tip]],
      area: [base, straight, tip],
      label: [Math.max(tip[0], straight[0]) + this.shank() * 0.08, straight[1] + long * 0.25],
    };
  }

  /** The weight's way along the feet. @param {number} frame @param {Shown} shown @returns {Lines | null} */
  forward(frame, { value }) {
    const feet = /** @type {const} */ (['left', 'right']).flatMap((side) => {
      const [heel, toe] = [this.standing(`${side}_heel`), this.secondToe(side, (joint) => this.standing(joint))];
      return heel && toe ? [{ heel, toe }] : [];
    });
    if (!feet.length) return null;
    const mean = (/** @type {'heel' | 'toe'} */ key, /** @type {number} */ i) => feet.reduce((sum, f) => sum + f[key][i], 0) / feet.length;
    const [heel, toe] = [/** @type {Point} */ ([mean('heel', 0), mean('heel', 1)]), /** @type {Point} */ ([mean('toe', 0), mean('toe', 1)])];
    const along = (/** @type {number} */ share) => /** @type {Point} */ ([heel[0] + share * (toe[0] - heel[0]), heel[1] + share * (toe[1] - heel[1])]);
    // In standing the weight is over about the middle of the foot; only the way from there is measured.
    const [from, to] = [along(0.45), along(0.45 + value / 100)];
    const tall = this.shank() * 0.5;
    const arrow = this.shank() * 0.06 * Math.sign(to[0] - from[0] || 1);
    return {
      should: [[from, [from[0], from[1] - tall]]],
      is: [
        [to, [to[0], to[1] - tall]],
        [
          [from[0], from[1] - tall / 2],
          [to[0], to[1] - tall / 2],
        ],
        [
          [to[0] - arrow, to[1] - tall / 2 - Math.abs(arrow)],
          [to[0], to[1] - tall / 2],
          [to[0] - arrow, to[1] - tall / 2 + Math.abs(arrow)],
        ],
      ],
      label: [Math.max(from[0], to[0]) + Math.abs(arrow), to[1] - tall],
    };
  }

  /** Where between the feet the load is. @param {number} frame @param {Shown} shown @returns {Lines | null} */
  load(frame, { value }) {
    const [left, right] = [this.standing('left_ankle'), this.standing('right_ankle')];
    if (!left || !right) return null;
    const between = (/** @type {number} */ share) => /** @type {Point} */ ([right[0] + share * (left[0] - right[0]), right[1] + share * (left[1] - right[1])]);
    const [middle, now] = [between(0.5), between(value / 100)];
    const tall = this.shank() * 0.9;
    return {
      should: [[middle, [middle[0], middle[1] - tall]]],
      is: [[now, [now[0], now[1] - tall]], cross(now, this.shank() * 0.05)],
      area: [middle, [middle[0], middle[1] - tall], [now[0], now[1] - tall], now],
      label: [Math.max(middle[0], now[0]) + this.shank() * 0.06, now[1] - tall * 0.9],
    };
  }
}

/** A mark on a point. @param {Point} p @param {number} size @returns {Point[]} */
function cross([x, y], size) {
  return [
    [x - size, y],
    [x, y - size],
    [x + size, y],
    [x, y + size],
    [x - size, y],
  ];
}

/** @param {CanvasRenderingContext2D} pen @param {[number, number][]} points */
function path(pen, points) {
  pen.beginPath();
  points.forEach((p, i) => pen[i ? 'lineTo' : 'moveTo'](...p));
}

/** Light under dark, so that it shows on any ground. @param {CanvasRenderingContext2D} pen @param {[number, number][]} points @param {number} width @param {string} colour @param {number[]} dash */
function stroke(pen, points, width, colour, dash) {
  for (const [w, style] of /** @type {const} */ ([
    [width * 2.1, ink('--sheet')],
    [width, colour],
  ])) {
    pen.setLineDash(dash);
    pen.lineWidth = w;
    pen.strokeStyle = style;
    path(pen, points);
    pen.stroke();
  }
  pen.setLineDash([]);
}

/** @param {CanvasRenderingContext2D} pen @param {[number, number]} at @param {string} text @param {number} size px */
function write(pen, [x, y], text, size) {
  pen.font = `700 ${size}px ${getComputedStyle(document.body).fontFamily}`;
  const wide = pen.measureText(text).width;
  const left = Math.max(4, Math.min(x, pen.canvas.width - wide - 12));
  const top = Math.max(4, Math.min(y - size, pen.canvas.height - 1.6 * size));
  pen.fillStyle = ink('--sheet');
  pen.fillRect(left, top, wide + 10, size * 1.4);
  pen.fillStyle = ink('--ink');
  pen.textBaseline = 'middle';
  pen.fillText(text, left + 5, top + size * 0.72);
}
