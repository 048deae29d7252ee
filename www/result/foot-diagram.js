// @ts-check
/** Both soles with their three contact points at one moment, turned as the camera sees the lifter. Shapes, not colours: geometry, not pressure. */
import { el, svg } from '../app/dom.js';
import { SIDES, sideName } from './words.js';

const POINTS = /** @type {const} */ ([
  ['big_toe', 'big-toe base', 90, 112],
  ['small_toe', 'little-toe base', 26, 126],
  ['heel', 'heel', 60, 262],
]);
/** @type {Record<string, string>} */
const WORDS = { planted: 'down', light: 'light', lifted: 'lifted', unseen: 'not seen' };
/** Middle of the pair, and where its names stand. */
const MIDDLE = [140, 160];
const NAMES = { left: [60, 325], right: [220, 325] };
/** Half of the room that a name takes. */
const NAME_SIZE = [44, 18];

/** @param {string} state */
function shapeOf(state) {
  if (state === 'planted') return svg('circle', { r: 13, class: 'contact planted' });
  if (state === 'light') return svg('circle', { r: 12, class: 'contact light' });
  if (state === 'lifted') return svg('path', { d: 'M0-16 15 11H-15Z', class: 'contact lifted' });
  return svg('path', { d: 'M-8-8 8 8M8-8-8 8', class: 'contact unseen' });
}

/** How the pair lies for that bearing, in eighths of a turn: toes down from the front, up from behind. @param {any} view */
function turnOf(view) {
  return view ? Math.round((view.azimuth_deg - 180) / 45) * 45 : 0;
}

/** @param {number} degrees @param {readonly number[]} p */
function turned(degrees, [x, y]) {
  const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  const [dx, dy] = [x - MIDDLE[0], y - MIDDLE[1]];
  return [MIDDLE[0] + c * dx - s * dy, MIDDLE[1] + s * dx + c * dy];
}

/**
 * @param {any} series of the report; without it there is nothing to draw
 * @param {any} view of the report
 * @returns {{ root: HTMLElement, show: (frame: number) => void }}
 */
export function footDiagram(series, view) {
  const turn = turnOf(view);
  const spoken = el('p', { class: 'figures contacts-said' });
  const feet = SIDES.map((side) => {
    const marks = POINTS.map(([, , x, y]) => svg('g', { transform: `translate(${side === 'left' ? x : 120 - x} ${y}) rotate(${-turn})` }));
    const sole = svg(
      'g',
      side === 'left' ? {} : { transform: 'translate(120 0) scale(-1 1)' },
      svg('use', { href: 'art.svg#bare-sole', width: 120, height: 300 }),
    );
    const [x, y] = turned(turn, NAMES[side]);
    const name = svg('text', { x, y, class: 'sole-name', 'text-anchor': 'middle', 'dominant-baseline': 'middle' });
    name.textContent = sideName(side);
    return { side, marks, name, drawing: svg('g', { class: 'sole-now', transform: side === 'left' ? '' : 'translate(160 0)' }, sole, ...marks) };
  });
  const corners = [
    [-16, 12],
    [296, 12],
    [-16, 340],
    [296, 340],
  ].map((p) => turned(turn, p));
  // The names stay upright, however the pair is turned.
  for (const at of Object.values(NAMES)) {
    const [x, y] = turned(turn, at);
    corners.push([x - NAME_SIZE[0], y - NAME_SIZE[1]], [x + NAME_SIZE[0], y + NAME_SIZE[1]]);
  }
  const [xs, ys] = [0, 1].map((i) => corners.map((p) => p[i]));
  const box = [Math.min(...xs), Math.min(...ys), Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)];
  const drawing = svg(
    'svg',
    { viewBox: box.map((v) => v.toFixed(0)).join(' '), class: 'soles-now', 'aria-hidden': 'true' },
    svg('g', { transform: `rotate(${turn} ${MIDDLE.join(' ')})` }, ...feet.map((f) => f.drawing)),
    ...feet.map((f) => f.name),
  );
  const key = el(
    'ul',
    { class: 'key', 'aria-label': 'What the shapes mean' },
    ...Object.keys(WORDS).map((state) => {
      const g = svg('g', { transform: 'translate(20 20)' }, shapeOf(state));
      return el('li', {}, svg('svg', { viewBox: '0 0 40 40', 'aria-hidden': 'true' }, g), WORDS[state]);
    }),
  );
  const root = el(
    'div',
    { class: 'feet' },
    drawing,
    el(
      'div',
      {},
      key,
      spoken,
      el(
        'p',
        { class: 'hint' },
        view
          ? 'The soles lie as the camera sees the lifter. Shapes say what touches the floor, not how hard.'
          : 'Toes up. Shapes say what touches the floor, not how hard.',
      ),
    ),
  );

  /** @param {number} frame */
  const show = (frame) => {
    const said = feet.map(({ side, marks }) => {
      const contacts = series?.contacts?.[side];
      const states = POINTS.map(([point]) => contacts?.[point]?.[frame] ?? 'unseen');
      states.forEach((state, i) => marks[i].replaceChildren(shapeOf(state)));
      const parts = POINTS.map(([, name], i) => `${name} ${WORDS[states[i]]}`);
      return `${sideName(side)}: ${parts.join(', ')}.`;
    });
    const text = said.join(' ');
    if (spoken.textContent !== text) spoken.textContent = text;
  };
  show(0);
  return { root, show };
}
