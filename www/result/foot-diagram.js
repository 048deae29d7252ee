// @ts-check
/** Both soles with their three contact points at one moment. Shapes, not colours: geometry, not pressure. */
import { el, svg } from '../app/dom.js';
import { SIDES } from './words.js';

const POINTS = /** @type {const} */ ([
  ['big_toe', 'big-toe base', 90, 112], ['small_toe', 'little-toe base', 26, 126], ['heel', 'heel', 60, 262],
]);
/** @type {Record<string, string>} */
const WORDS = { planted: 'planted', light: 'light', lifted: 'lifted', unseen: 'not seen' };

/** @param {string} state */
function shapeOf(state) {
  if (state === 'planted') return svg('circle', { r: 13, class: 'contact planted' });
  if (state === 'light') return svg('circle', { r: 12, class: 'contact light' });
  if (state === 'lifted') return svg('path', { d: 'M0-16 15 11H-15Z', class: 'contact lifted' });
  return svg('path', { d: 'M-8-8 8 8M8-8-8 8', class: 'contact unseen' });
}

/**
 * @param {any} series of the report; without it there is nothing to draw
 * @returns {{ root: HTMLElement, show: (frame: number) => void }}
 */
export function footDiagram(series) {
  const spoken = el('p', { class: 'figures contacts-said' });
  const feet = SIDES.map((side) => {
    const marks = POINTS.map(([, , x, y]) => svg('g', { transform: `translate(${side === 'left' ? x : 120 - x} ${y})` }));
    const sole = svg('g', side === 'left' ? {} : { transform: 'translate(120 0) scale(-1 1)' }, svg('use', { href: 'art.svg#bare-sole', width: 120, height: 300 }));
    const drawing = svg('svg', { viewBox: '-14 15 148 290', class: 'sole-now', 'aria-hidden': 'true' }, sole, ...marks);
    return { side, marks, figure: el('figure', {}, drawing, el('figcaption', {}, side === 'left' ? 'Left' : 'Right')) };
  });
  const key = el('ul', { class: 'key', 'aria-label': 'What the shapes mean' }, ...Object.keys(WORDS).map((state) => {
    const g = svg('g', { transform: 'translate(20 20)' }, shapeOf(state));
    return el('li', {}, svg('svg', { viewBox: '0 0 40 40', 'aria-hidden': 'true' }, g), WORDS[state]);
  }));
  const root = el('div', { class: 'feet' }, el('h3', {}, 'Feet at this moment'), el('div', { class: 'pair' }, ...feet.map((f) => f.figure)), key, spoken);

  /** @param {number} frame */
  const show = (frame) => {
    const said = feet.map(({ side, marks }) => {
      const contacts = series?.contacts?.[side];
      const states = POINTS.map(([point]) => contacts?.[point]?.[frame] ?? 'unseen');
      states.forEach((state, i) => marks[i].replaceChildren(shapeOf(state)));
      const parts = POINTS.map(([, name], i) => `${name} ${WORDS[states[i]]}`);
      return `${side === 'left' ? 'Left' : 'Right'}: ${parts.join(', ')}.`;
    });
    spoken.textContent = said.join(' ');
  };
  show(0);
  return { root, show };
}
