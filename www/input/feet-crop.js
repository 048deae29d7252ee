// @ts-check
/** Grey pictures of the feet for the package's foot tracker. */

/** Where the foot's points sit in the estimator's list (BlazePose-33). */
const FOOT = { left: [27, 29, 31], right: [28, 30, 32] };
/** Room about the points, in lengths of the foot as it is seen, and at least this many px. */
const ROOM = 0.6;
const LEAST = 24;
const MOST = 256;

/**
 * @typedef {object} Crop
 * @property {'left' | 'right'} side
 * @property {number} x left edge, px of the picture
 * @property {number} y
 * @property {number} width
 * @property {number} height
 * @property {Uint8Array} data luma, row by row
 */

/**
 * @param {CanvasRenderingContext2D} pen of the canvas that holds the picture
 * @param {Float32Array} points
 * @returns {Crop[]}
 */
export function feetCrops(pen, points) {
  return /** @type {const} */ (['left', 'right']).flatMap((side) => {
    const at = FOOT[side].map((i) => [points[3 * i], points[3 * i + 1]]);
    const xs = at.map((p) => p[0]);
    const ys = at.map((p) => p[1]);
    const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    const room = Math.max(LEAST, ROOM * Math.max(right - left, bottom - top));
    const x = Math.max(0, Math.floor(left - room));
    const y = Math.max(0, Math.floor(top - room));
    const width = Math.min(MOST, pen.canvas.width - x, Math.ceil(right + room) - x);
    const height = Math.min(MOST, pen.canvas.height - y, Math.ceil(bottom + room) - y);
    if (!(width >= LEAST && height >= LEAST)) return [];
    return [{ side, x, y, width, height, data: luma(pen.getImageData(x, y, width, height).data) }];
  });
}

/** ITU-R BT.601 luma of RGBA, in 8-bit fixed point. @param {Uint8ClampedArray} rgba */
function luma(rgba) {
  const out = new Uint8Array(rgba.length / 4);
  for (let i = 0, j = 0; j < out.length; i += 4, j += 1) out[j] = (77 * rgba[i] + 150 * rgba[i + 1] + 29 * rgba[i + 2] + 128) >> 8;
  return out;
}
