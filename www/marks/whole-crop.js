// @ts-check
/** A whole picture in shades of grey, as the package takes it. */

/** Longest side that is handed over, px: marked legs are large, and gain nothing from more. */
const LONGEST = 1280;

/** @type {HTMLCanvasElement | null} */
let smaller = null;

/** @param {HTMLCanvasElement} picture @param {number} [longest] side that is handed over, px @returns {import('../pkg/index.js').GreyCrop} */
export function wholeCrop(picture, longest = LONGEST) {
  const scale = Math.max(1, Math.max(picture.width, picture.height) / longest);
  const [width, height] = [Math.floor(picture.width / scale), Math.floor(picture.height / scale)];
  let from = picture;
  if (scale > 1) {
    smaller ??= document.createElement('canvas');
    if (smaller.width !== width || smaller.height !== height) [smaller.width, smaller.height] = [width, height];
    smaller.getContext('2d', { willReadFrequently: true })?.drawImage(picture, 0, 0, width * scale, height * scale, 0, 0, width, height);
    from = smaller;
  }
  const pen = /** @type {CanvasRenderingContext2D} */ (from.getContext('2d', { willReadFrequently: true }));
  const rgba = pen.getImageData(0, 0, width, height).data;
  const data = new Uint8Array(width * height);
  // Luma of ITU-R BT.601, in 256ths.
  for (let i = 0, k = 0; i < data.length; i++, k += 4) data[i] = (77 * rgba[k] + 150 * rgba[k + 1] + 29 * rgba[k + 2]) >> 8;
  return { side: 'both', x: 0, y: 0, width, height, scale, data };
}
