// @ts-check
/** Plots are drawn when their place has a width, and anew when the width or the theme changes. */

/**
 * @param {HTMLElement} root
 * @param {() => { destroy(): void }[]} draw
 * @returns {() => void} stops, and frees what was drawn
 */
export function keepDrawn(root, draw) {
  /** @type {{ destroy(): void }[]} */
  let drawn = [];
  let width = 0;
  const clear = () => {
    drawn.forEach((plot) => plot.destroy());
    drawn = [];
  };
  const redraw = () => {
    clear();
    if (root.isConnected) drawn = draw();
  };
  const watch = new ResizeObserver(() => {
    if (root.clientWidth === width) return;
    width = root.clientWidth;
    redraw();
  });
  watch.observe(root);
  document.addEventListener('theme', redraw);
  return () => {
    watch.disconnect();
    document.removeEventListener('theme', redraw);
    clear();
  };
}
