// @ts-check
/** Each check from set to set, with the band inside which nothing has really changed. */
import uPlot from '../vendor/uplot/uPlot.esm.js';
import { art, el, ink } from '../app/dom.js';
import { keepDrawn } from '../result/keep-drawn.js';
import { CHECKS, SIDES, markOf, sideName } from '../result/words.js';
import { outcomeOf } from './outcomes.js';

/** Room that a day takes on the axis. */
const LABEL_PX = 62;
/** A plot narrower than this gets a line of its own. */
const NARROW_PX = 140;

/**
 * @param {{ made?: string, report: any }[]} sets oldest first
 * @param {import('./compare-view.js').Change[]} changes
 * @param {string[]} [labels] what each set is called on the axis; its day when left out
 * @returns {{ root: HTMLElement, dispose: () => void }}
 */
export function trendSheet(sets, changes, labels = sets.map(dayLabel)) {
  const panels = CHECKS.flatMap((check) => {
    const lines = (check.sided ? SIDES : /** @type {const} */ ([null])).flatMap((side) => {
      const change = changes.find((c) => c.check === check.key && c.side === side);
      return change ? [{ side, change, values: sets.map((set) => meanOf(set.report.reps.map((/** @type {any} */ rep) => markOf(rep, check, side)))) }] : [];
    });
    if (!lines.length) return [];
    const row = el('div', { class: 'plot-row' });
    return [
      {
        row,
        lines,
        group: el(
          'figure',
          { class: 'plot-group' },
          el('figcaption', {}, el('h3', {}, check.label, el('small', {}, ` ${check.unit}, mean of the set`)), said(lines)),
          row,
        ),
      },
    ];
  });
  const root = el('div', { class: 'plots' }, ...panels.map((p) => p.group));
  const drawAll = () => panels.flatMap(({ row, lines }) => lines.map((line) => draw(row, line, labels, widthOf(row, lines.length))));
  return { root, dispose: keepDrawn(root, drawAll) };
}

/** @param {{ made?: string }} set @param {number} i */
function dayLabel(set, i) {
  return set.made ? new Date(set.made).toLocaleDateString(undefined, { day: 'numeric', month: 'short' }) : `set ${i + 1}`;
}

/** Both feet beside each other where there is room, else one below the other. @param {HTMLElement} row @param {number} plots */
function widthOf(row, plots) {
  const beside = Math.floor(row.clientWidth / plots) - 8;
  return beside < NARROW_PX ? row.clientWidth : beside;
}

/** What the latest set says, in words and a shape. @param {{ side: 'left' | 'right' | null, change: import('./compare-view.js').Change }[]} lines */
function said(lines) {
  return el(
    'p',
    { class: 'trend-said' },
    ...lines.map(({ side, change }) => {
      const [word, shape] = outcomeOf(change);
      return el('span', {}, art(shape), side ? `${side}: ${word}` : word);
    }),
  );
}

/** @param {any[]} marks @returns {number | null} */
function meanOf(marks) {
  const seen = marks.map((m) => m?.value).filter((v) => typeof v === 'number');
  return seen.length ? seen.reduce((a, b) => a + b, 0) / seen.length : null;
}

/** @param {HTMLElement} row @param {{ side: 'left' | 'right' | null, change: import('./compare-view.js').Change, values: (number | null)[] }} line @param {string[]} labels @param {number} width */
function draw(row, { side, change, values }, labels, width) {
  const [soft, rule, wash, strong, sheet] = ['--ink-soft', '--rule', '--wash', '--ink', '--sheet'].map(ink);
  const at = values.map((_, i) => i + 1);
  const band = (/** @type {number} */ k) => at.map(() => change.earlier + k * change.mdc95);
  const all = [...values.filter((v) => v !== null), ...band(1), ...band(-1)];
  const pad = (Math.max(...all) - Math.min(...all)) * 0.1 + 0.5;
  const hidden = { stroke: 'transparent', width: 0, points: { show: false } };
  const font = `12px ${getComputedStyle(row).fontFamily}`;
  const axis = { stroke: soft, font, grid: { stroke: rule, width: 1 }, ticks: { show: false } };
  const check = /** @type {import('../result/words.js').CheckWords} */ (CHECKS.find(({ key }) => key === change.check));
  const title = side ? `${sideName(side)} ${check.row}` : check.label;
  const plot = new uPlot(
    {
      width,
      height: 190,
      title,
      legend: { show: false },
      cursor: { show: false },
      select: { show: false, left: 0, top: 0, width: 0, height: 0 },
      scales: { x: { time: false, range: [0.6, at.length + 0.4] }, y: { range: [Math.min(...all) - pad, Math.max(...all) + pad] } },
      axes: [
        { ...axis, size: 26, splits: () => labelled(at.length, width), values: (_, shown) => shown.map((i) => labels[i - 1]) },
        { ...axis, size: 38, space: 34 },
      ],
      bands: [{ series: [1, 2], fill: wash }],
      series: [{}, hidden, hidden, { stroke: strong, width: 2, spanGaps: true, points: { show: true, size: 8, fill: strong } }],
      hooks: { draw: [(u) => ring(u, values, strong, sheet)] },
    },
    /** @type {uPlot.AlignedData} */ ([at, band(1), band(-1), values]),
    row,
  );
  plot.root.setAttribute('role', 'img');
  plot.root.setAttribute('aria-label', `${title}: ${change.sentence}`);
  return plot;
}

/** Which sets get their day written: as many as there is room for, the last always. @param {number} count @param {number} width @returns {number[]} */
function labelled(count, width) {
  const step = Math.ceil(count / Math.max(1, Math.floor(width / LABEL_PX)));
  return Array.from({ length: count }, (_, i) => i + 1).filter((i) => (count - i) % step === 0);
}

/** The latest set stands out by its shape. @param {uPlot} u @param {(number | null)[]} values @param {string} strong @param {string} sheet */
function ring(u, values, strong, sheet) {
  const last = values.findLastIndex((v) => v !== null);
  if (last < 0) return;
  const { ctx } = u;
  ctx.save();
  ctx.beginPath();
  ctx.arc(u.valToPos(last + 1, 'x', true), u.valToPos(/** @type {number} */ (values[last]), 'y', true), 7 * devicePixelRatio, 0, 2 * Math.PI);
  ctx.fillStyle = sheet;
  ctx.strokeStyle = strong;
  ctx.lineWidth = 3 * devicePixelRatio;
  ctx.fill();
  ctx.stroke();
  ctx.restore();
}
