// @ts-check
/** The bar, through both hands, where the recording says that there is one. */

/** How far the bar reaches beyond each hand, of the distance between the hands. */
const BEYOND = 0.42;

/**
 * @param {CanvasRenderingContext2D} pen
 * @param {[number, number] | null} left hand on the canvas
 * @param {[number, number] | null} right
 * @param {number} unit body size on the canvas
 * @param {string} ink
 */
export function drawBar(pen, left, right, unit, ink) {
  if (!left || !right) return;
  const [dx, dy] = [left[0] - right[0], left[1] - right[1]];
  // Seen end-on the hands lie over each other and a line would say nothing.
  if (Math.hypot(dx, dy) < unit * 0.25) return;
  const ends = [
    [left, 1],
    [right, -1],
  ].map(([hand, way]) => {
    const [x, y] = /** @type {[number, number]} */ (hand);
    return [x + Number(way) * BEYOND * dx, y + Number(way) * BEYOND * dy];
  });
  pen.strokeStyle = ink;
  pen.lineCap = 'butt';
  pen.lineWidth = Math.max(2, unit * 0.03);
  pen.beginPath();
  pen.moveTo(ends[0][0], ends[0][1]);
  pen.lineTo(ends[1][0], ends[1][1]);
  pen.stroke();
  pen.lineWidth = Math.max(4, unit * 0.07);
  pen.beginPath();
  for (const [x, y] of ends) {
    pen.moveTo(x, y - unit * 0.27);
    pen.lineTo(x, y + unit * 0.27);
  }
  pen.stroke();
}
