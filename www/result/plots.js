// @ts-check
/** Each check through each repetition: one line a repetition, drawn by its verdict, with the lines beyond which it is a fault. */
import uPlot from '../vendor/uplot/uPlot.esm.js';
import { el, ink } from '../app/dom.js';
import { keepDrawn } from './keep-drawn.js';
import { PHASES, byPhase, phaseOf } from './phase.js';
import { CHECKS, SIDES, markOf, short, sideName, whyUnseen } from './words.js';

/** @typedef {{ low?: number | null, high?: number | null }} Lines */
/** @typedef {{ values: (number | null)[], sd: (number | null)[], mark: any, rep: any }} Curve */
/** @typedef {{ check: import('./words.js').CheckWords, side: 'left' | 'right' | null, title: string, curves: Curve[] }} Panel */

/** Room about the band of a check, of its width; what goes further is still shown. */
const ROOM = 0.6;
/** Half the width of a 95 % interval, in standard errors. */
const Z95 = 1.96;

/**
 * Checks with something to look at come first, the others folded away.
 * @param {any} report with series
 * @param {Record<string, Lines>} lines fault lines by check
 * @returns {{ root: HTMLElement, dispose: () => void }}
 */
export function plotSheet(report, lines) {
  const groups = CHECKS.flatMap((check) => {
    const panels = (check.sided ? SIDES : /** @type {const} */ ([null])).map((side) => panelOf(report, check, side));
    if (panels.every(({ curves }) => !curves.length)) return [];
    const told = panels.some(({ curves }) => curves.some(({ mark }) => mark.verdict === 'fault'));
    return [{ check, panels, told }];
  });
  const sheets = [groups.filter((g) => g.told), groups.filter((g) => !g.told)].map((chosen) => sheetOf(chosen, lines));
  const [first, others] = sheets;
  const root = el(
    'div',
    {},
    first.root,
    others.count ? el('details', { class: 'other-plots' }, el('summary', {}, first.count ? 'The other checks' : 'Curves of every check'), others.root) : null,
  );
  return { root, dispose: () => sheets.forEach((sheet) => sheet.dispose()) };
}

/** @param {any} report @param {import('./words.js').CheckWords} check @param {'left' | 'right' | null} side @returns {Panel & { why: string }} */
function panelOf({ series, reps }, check, side) {
  const pick = (/** @type {any} */ all) => (side ? all?.[check.key]?.[side] : all?.[check.key]) ?? [];
  const marks = reps.map((/** @type {any} */ rep) => markOf(rep, check, side));
  const curves = reps
    .map((/** @type {any} */ rep, /** @type {number} */ i) => ({
      values: byPhase(series.t_ms, pick(series), rep),
      sd: byPhase(series.t_ms, pick(series.sd), rep),
      mark: marks[i],
      rep,
    }))
    .filter((/** @type {Curve} */ { values, mark }) => mark.verdict !== 'unseen' && values.some((v) => v !== null));
  const name = side ? `${sideName(side)} ${check.row}` : check.label;
  return { check, side, title: name, curves, why: whyUnseen(marks.find((/** @type {any} */ m) => m.verdict === 'unseen')?.why) };
}

/** @param {{ check: import('./words.js').CheckWords, panels: (Panel & { why: string })[] }[]} groups @param {Record<string, Lines>} lines */
function sheetOf(groups, lines) {
  const rows = groups.map(({ check, panels }) => {
    const seen = panels.filter(({ curves }) => curves.length);
    const row = el('div', { class: 'plot-row' });
    const range = rangeOf(seen, lines[check.key] ?? {});
    const group = el(
      'figure',
      { class: 'plot-group' },
      el('figcaption', {}, el('h3', {}, check.label, el('small', {}, `, ${check.unit}`)), el('small', {}, check.reads)),
      row,
      ...panels.filter(({ curves }) => !curves.length).map(({ title, why }) => el('p', { class: 'hint' }, `${title}: not seen${why ? `: ${why}` : ''}.`)),
    );
    return {
      group,
      draw: () => {
        const width = Math.max(150, Math.floor(row.clientWidth / seen.length) - 8);
        return seen.map((panel) => draw(row, panel, range, lines[check.key] ?? {}, width));
      },
    };
  });
  const root = el('div', { class: 'plots' }, ...rows.map((r) => r.group));
  return { root, count: rows.length, dispose: keepDrawn(root, () => (root.clientWidth ? rows.flatMap((r) => r.draw()) : [])) };
}

/** By the band of the check, common to both sides, and as far as a repetition goes beyond it. @param {Panel[]} panels @param {Lines} lines @returns {[number, number]} */
function rangeOf(panels, { low, high }) {
  const values = panels.flatMap(({ curves }) => curves.flatMap(({ values: v, mark }) => [...v, mark.value])).filter((v) => v !== null);
  const top = high ?? Math.max(...values);
  const floor = low ?? Math.min(0, -0.3 * top);
  const room = ROOM * (top - floor) * (low === null || low === undefined ? 1 : 0.5);
  const pad = 0.05 * (top - floor);
  return [Math.min(floor - (low === null || low === undefined ? 0 : room), Math.min(...values) - pad), Math.max(top + room, Math.max(...values) + pad)];
}

/**
 * @param {HTMLElement} row
 * @param {Panel} panel
 * @param {[number, number]} range
 * @param {Lines} lines
 * @param {number} width
 */
function draw(row, { check, title, curves }, range, lines, width) {
  const inks = {
    ink: ink('--ink'),
    soft: ink('--ink-soft'),
    edge: ink('--edge'),
    rule: ink('--rule'),
    wash: ink('--wash'),
    pencil: ink('--pencil'),
    sheet: ink('--sheet'),
  };
  const worst = [...curves].sort((a, b) => (b.mark.score ?? 0) - (a.mark.score ?? 0))[0];
  const around = (/** @type {number} */ k) =>
    worst.values.map((v, i) => (v === null || worst.sd[i] === null ? null : v + k * /** @type {number} */ (worst.sd[i])));
  const data = /** @type {uPlot.AlignedData} */ ([PHASES, around(Z95), around(-Z95), ...curves.map((c) => c.values)]);
  const hidden = { stroke: 'transparent', width: 0, points: { show: false } };
  const font = `12px ${getComputedStyle(row).fontFamily}`;
  /** @type {Record<string, object>} */
  const styles = { fault: { stroke: inks.pencil, width: 2.5 }, unsure: { stroke: inks.ink, width: 1.5, dash: [5, 4] }, clear: { stroke: inks.edge, width: 1 } };
  /** @type {uPlot.Options} */
  const options = {
    width,
    height: 200,
    title,
    legend: { show: false },
    cursor: { show: false },
    select: { show: false, left: 0, top: 0, width: 0, height: 0 },
    scales: { x: { time: false, range: [0, 2] }, y: { range } },
    axes: [
      {
        stroke: inks.soft,
        font,
        size: 26,
        grid: { stroke: inks.rule, width: 1 },
        ticks: { show: false },
        splits: () => [0, 1, 2],
        values: () => ['stand', 'bottom', 'stand'],
      },
      { stroke: inks.soft, font, size: 46, grid: { stroke: inks.rule, width: 1 }, ticks: { show: false }, space: 34 },
    ],
    bands: [{ series: [1, 2], fill: inks.wash }],
    series: [{}, hidden, hidden, ...curves.map(({ mark }) => ({ ...styles[mark.verdict], points: { show: false } }))],
    hooks: {
      drawClear: [(u) => faultGround(u, lines, inks.edge)],
      draw: [
        (u) => faultWords(u, lines, check, inks, font),
        (u) => {
          for (const curve of curves) if (curve.mark.verdict === 'fault') peak(u, curve, inks);
        },
      ],
    },
  };
  const plot = new uPlot(options, data, row);
  plot.root.setAttribute('role', 'img');
  plot.root.setAttribute('aria-label', spoken(title, check, curves));
  return plot;
}

/** The value that the table gives, where it is on its curve: a triangle with the repetition's number. @param {uPlot} u @param {Curve} curve @param {Record<string, string>} inks */
function peak(u, { mark, rep }, inks) {
  const { ctx } = u;
  const [x, y] = [u.valToPos(phaseOf(rep, mark.at_ms), 'x', true), u.valToPos(mark.value, 'y', true)];
  const size = 7 * devicePixelRatio;
  ctx.save();
  ctx.beginPath();
  ctx.moveTo(x, y - size);
  ctx.lineTo(x + size, y + 0.8 * size);
  ctx.lineTo(x - size, y + 0.8 * size);
  ctx.closePath();
  ctx.fillStyle = inks.pencil;
  ctx.strokeStyle = inks.sheet;
  ctx.lineWidth = 2 * devicePixelRatio;
  ctx.stroke();
  ctx.fill();
  ctx.font = `700 ${13 * devicePixelRatio}px sans-serif`;
  ctx.lineWidth = 3 * devicePixelRatio;
  ctx.fillStyle = inks.ink;
  ctx.strokeText(String(rep.index), x + 1.4 * size, y);
  ctx.fillText(String(rep.index), x + 1.4 * size, y);
  ctx.restore();
}

/** What counts as a fault, said on its line. @param {uPlot} u @param {Lines} lines @param {import('./words.js').CheckWords} check @param {Record<string, string>} inks @param {string} font */
function faultWords(u, { low, high }, check, inks, font) {
  const { ctx, bbox } = u;
  ctx.save();
  ctx.font = font.replace(/(\d+)px/, (_, px) => `${px * devicePixelRatio}px`);
  ctx.textAlign = 'right';
  ctx.lineWidth = 4 * devicePixelRatio;
  ctx.strokeStyle = inks.sheet;
  ctx.fillStyle = inks.ink;
  for (const [line, up] of /** @type {const} */ ([
    [high, true],
    [low, false],
  ])) {
    if (typeof line !== 'number') continue;
    const y = u.valToPos(line, 'y', true) + (up ? -5 : 14) * devicePixelRatio;
    const text = `fault: ${check.key === 'load_left_pct' ? (up ? 'over' : 'under') : 'over'} ${short(line, check)}`;
    ctx.strokeText(text, bbox.left + bbox.width - 4 * devicePixelRatio, y);
    ctx.fillText(text, bbox.left + bbox.width - 4 * devicePixelRatio, y);
  }
  ctx.restore();
}

/** Hatches what counts as a fault and rules its line. @param {uPlot} u @param {Lines} lines @param {string} edge */
function faultGround(u, lines, edge) {
  const { ctx, bbox } = u;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  ctx.strokeStyle = edge;
  for (const [line, up] of /** @type {const} */ ([
    [lines.high, true],
    [lines.low, false],
  ])) {
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

/** @param {string} title @param {import('./words.js').CheckWords} check @param {Curve[]} curves */
function spoken(title, check, curves) {
  return `${title}: ${curves.map(({ mark, rep }) => `rep ${rep.index} ${short(mark.value, check)}`).join(', ')}; the table has the same numbers`;
}
