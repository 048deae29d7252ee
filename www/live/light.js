// @ts-check
/** Of a coarse grid of pixels; enough to tell dark from light. @param {CanvasRenderingContext2D} pen */
export function meanLuma(pen) {
  const { width, height } = pen.canvas;
  let sum = 0;
  for (let i = 0; i < 25; i += 1) {
    const [r, g, b] = pen.getImageData(((i % 5) + 0.5) * (width / 5), (Math.floor(i / 5) + 0.5) * (height / 5), 1, 1).data;
    sum += 0.299 * r + 0.587 * g + 0.114 * b;
  }
  return sum / 25;
}
