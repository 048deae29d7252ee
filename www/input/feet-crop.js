// @ts-check
/** Grey pictures of the feet for the package's foot tracker. */

/** Where the foot's points sit in the estimator's list (BlazePose-33). */
const FOOT = { left: [27, 29, 31], right: [28, 30, 32] };
/** Room about the points, in lengths of the foot as it is seen, and at least this many px. */
const ROOM = 0.5;
const LEAST = 24;
/** Longest side of a crop, px of its own; a foot that is seen larger is read on a coarser grid. */
const MOST = 256;

/**
 * @typedef {object} Crop
 * @property {'left' | 'right'} side
 * @property {number} x left edge, px of the picture
 * @property {number} y
 * @property {number} width px of the crop
 * @property {number} height
 * @property {number} scale px of the picture that one of its pixels spans
 * @property {Uint8Array} data luma, row by row
 */

/** @typedef {{ x: number, y: number, width: number, height: number }} Box */

/** Cuts the feet out of pictures. A cut stays where it is while the foot stands in it, so that nothing is resampled. */
export class FeetCrops {
  constructor() {
    /** @type {Partial<Record<'left' | 'right', Box>>} */
    this.boxes = {};
    this.small = /** @type {CanvasRenderingContext2D} */ (document.createElement('canvas').getContext('2d', { willReadFrequently: true }));
  }

  /**
   * @param {CanvasRenderingContext2D} pen of the canvas that holds the picture
   * @param {Float32Array | null} points where the foot's points are; without them nothing is cut
   * @returns {Crop[] | undefined}
   */
  cut(pen, points) {
    if (!points) return undefined;
    return /** @type {const} */ (['left', 'right']).flatMap((side) => {
      const box = this.box(side, points, pen.canvas);
      if (!box) return [];
      const { x, y, width, height } = box;
      const scale = Math.max(1, Math.max(width, height) / MOST);
      if (scale === 1) return [{ side, x, y, width, height, scale, data: luma(pen.getImageData(x, y, width, height).data) }];
      const [w, h] = [Math.floor(width / scale), Math.floor(height / scale)];
      const { canvas } = this.small;
      if (canvas.width < w || canvas.height < h) [canvas.width, canvas.height] = [MOST, MOST];
      this.small.drawImage(pen.canvas, x, y, w * scale, h * scale, 0, 0, w, h);
      return [{ side, x, y, width: w, height: h, scale, data: luma(this.small.getImageData(0, 0, w, h).data) }];
    });
  }

  /**
   * @param {'left' | 'right'} side
   * @param {Float32Array} points
   * @param {{ width: number, height: number }} picture
   * @returns {Box | null}
   */
  box(side, points, picture) {
    const at = FOOT[side].map((i) => [points[3 * i], points[3 * i + 1]]);
    const xs = at.map((p) => p[0]);
    const ys = at.map((p) => p[1]);
    const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    const old = this.boxes[side];
    if (old && left >= old.x && top >= old.y && right <= old.x + old.width && bottom <= old.y + old.height) return old;
    const room = Math.max(LEAST, ROOM * Math.max(right - left, bottom - top));
    const x = Math.max(0, Math.floor(left - room));
    const y = Math.max(0, Math.floor(top - room));
    const width = Math.min(picture.width, Math.ceil(right + room)) - x;
    const height = Math.min(picture.height, Math.ceil(bottom + room)) - y;
    if (!(width >= LEAST && height >= LEAST)) return null;
    return (this.boxes[side] = { x, y, width, height });
  }
}

/** ITU-R BT.601 luma of RGBA, in 8-bit fixed point. @param {Uint8ClampedArray} rgba */
function luma(rgba) {
  const out = new Uint8Array(rgba.length / 4);
  for (let i = 0, j = 0; j < out.length; i += 4, j += 1) out[j] = (77 * rgba[i] + 150 * rgba[i + 1] + 29 * rgba[i + 2] + 128) >> 8;
  return out;
}
