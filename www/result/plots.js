// @ts-check
/** Each check over the lift: repetitions laid over each other, the mean with its error band, the lines that count as a fault. */
import uPlot from '../vendor/uplot/uPlot.esm.js';
import { el, ink } from '../app/dom.js';
import { keepDrawn } from './keep-drawn.js';
import { PHASES, byPhase, meanCurve } from './phase.js';
import { CHECKS, SIDES } from './words.js';

/** @typedef {{ low?: number | null, high?: number | null }} Lines */

/**
 * @param {any} report with series
 * @param {Record<string, Lines>} lines fault lines by check
 * @returns {{ root: HTMLElement, dispose: () => void }}
 */
export function plotSheet(report, lines) {
  const panels = CHECKS.flatMap((check) => {
    const sides = check.sided ? SIDES : /** @type {const} */ ([null]);
    const curves = sides.map((side) => ({ side, ...curvesOf(report, check.key, side) }));
    const values = curves.flatMap((c) => c.reps.flat()).filter((v) => v !== null);
    if (!values.length) return [];
    const range = rangeOf(values, lines[check.key]);
    const row = el('div', { class: 'plot-row' });
    const group = el('figure', { class: 'plot-group' },
      el('figcaption', {}, el('h3', {}, check.label, el('small', {}, ` ${check.unit}`)), el('small', {}, check.reads)), row);
    return [{ group, row, draw: () => {
      const width = Math.max(150, Math.floor(row.clientWidth / sides.length) - 8);
      return curves.map((c) => draw(row, c, range, lines[check.key] ?? {}, width, c.side ? `${c.side === 'left' ? 'Left' : 'Right'} foot` : 'Both feet'));
    } }];
  });
  const root = el('div', { class: 'plots' }, ...panels.map((p) => p.group));
  return { root, dispose: keepDrawn(root, () => panels.flatMap((p) => p.draw())) };
}

/** @param {any} report @param {string} key @param {'left' | 'right' | null} side */
function curvesOf(report, key, side) {
  const { series, reps } = report;
  const pick = (/** @type {any} */ all) => (side ? all?.[key]?.[side] : all?.[key]) ?? [];
  const over = (/** @type {any[]} */ values) => reps.map((/** @type {any} */ rep) => byPhase(series.t_ms, values, rep));
  return { reps: over(pick(series)), mean: meanCurve(over(pick(series))), sd: meanCurve(over(pick(series.sd))) };
}

/** Common to both sides, with room for the lines. @param {number[]} values @param {Lines | undefined} lines @returns {[number, number]} */
function rangeOf(values, lines) {
  const all = [...values, ...[lines?.low, lines?.high].filter((v) => typeof v === 'number')];
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const pad = Math.max(1, (high - low) * 0.1);
  return [low - pad, high + pad];
}

/**
 * @param {HTMLElement} row
 * @param {{ reps: (number | null)[][], mean: (number | null)[], sd: (number | null)[] }} curves
 * @param {[number, number]} range
 * @param {Lines} lines
 * @param {number} width
 * @param {string} title
 */
function draw(row, curves, range, lines, width, title) {
  const inks = { ink: ink('--ink'), soft: ink('--ink-soft'), edge: ink('--edge'), rule: ink('--rule'), wash: ink('--wash'), pencil: ink('--pencil') };
  const around = (/** @type {number} */ k) => curves.mean.map((m, i) => (m === null || curves.sd[i] === null ? null : m + k * /** @type {number} */ (curves.sd[i])));
  const data = /** @type {uPlot.AlignedData} */ ([PHASES, around(1.96), around(-1.96), ...curves.reps, curves.mean]);
  const hidden = { stroke: 'transparent', width: 0, points: { show: false } };
  const font = `12px ${getComputedStyle(row).fontFamily}`;
  const last = curves.reps.length - 1;
  /** @type {uPlot.Options} */
  const options = {
    width, height: 190, title, legend: { show: false }, cursor: { show: false }, select: { show: false, left: 0, top: 0, width: 0, height: 0 },
    scales: { x: { time: false, range: [0, 2] }, y: { range } },
    axes: [
      { stroke: inks.soft, font, size: 26, grid: { stroke: inks.rule, width: 1 }, ticks: { show: false }, splits: () => [0, 1, 2], values: () => ['stand', 'bottom', 'stand'] },
      { stroke: inks.soft, font, size: 38, grid: { stroke: inks.rule, width: 1 }, ticks: { show: false }, space: 34 },
    ],
    bands: [{ series: [1, 2], fill: inks.wash }],
    series: [{}, hidden, hidden,
      ...curves.reps.map((_, i) => ({ stroke: i === last ? inks.pencil : inks.edge, width: 1, dash: i === last ? [6, 3] : undefined, points: { show: false } })),
      { stroke: inks.ink, width: 2.5, points: { show: false } }],
    hooks: { drawClear: [(u) => faultGround(u, lines, inks.edge)] },
  };
  const plot = new uPlot(options, data, row);
  plot.root.setAttribute('role', 'img');
  plot.root.setAttribute('aria-label', spoken(title, curves));
  return plot;
}

/** Hatches what counts as a fault and rules its line. @param {uPlot} u @param {Lines} lines @param {string} edge */
function faultGround(u, lines, edge) {
  const { ctx, bbox } = u;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  ctx.strokeStyle = edge;
  for (const [line, up] of /** @type {const} */ ([[lines.high, true], [lines.low, false]])) {
    if (typeof line !== 'number') continue;
    const y = u.valToPos(line, 'y', true);
    ctx.lineWidth = 1.5;
    ctx.beginPath();
    ctx.moveTo(bbox.left, y);
    ctx.lineTo(bbox.left + bbox.width, y);
    ctx.stroke();
    ctx.save();
    ctx.beginPath();
    if (up) ctx.rect(bbox.left, bbox.top, bbox.width, Math.max(0, y - bbox.top));
    else ctx.rect(bbox.left, y, bbox.width, Math.max(0, bbox.top + bbox.height - y));
    ctx.clip();
    ctx.globalAlpha = 0.35;
    ctx.lineWidth = 1;
    ctx.beginPath();
    for (let x = -bbox.height; x < bbox.width; x += 9) {
      ctx.moveTo(bbox.left + x, bbox.top + bbox.height);
      ctx.lineTo(bbox.left + x + bbox.height, bbox.top);
    }
    ctx.stroke();
    ctx.restore();
  }
  ctx.restore();
}

/** @param {string} title @param {{ mean: (number | null)[] }} curves */
function spoken(title, curves) {
  const seen = curves.mean.filter((v) => v !== null);
  if (!seen.length) return `${title}: not seen`;
  return `${title}: mean over the repetitions from ${Math.min(...seen).toFixed(0)} to ${Math.max(...seen).toFixed(0)}; the numbers are in the table`;
}
