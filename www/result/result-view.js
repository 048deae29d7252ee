// @ts-check
/** A finished set: the picture and the cue first, then why, then every number. */
import { $, el } from '../app/dom.js';
import { folded, foldedSection } from '../app/fold.js';
import { show } from '../app/screens.js';
import { FaultMark } from '../figure/fault-mark.js';
import { jointIndex } from '../figure/joints.js';
import { createPlayer, nearest } from '../figure/player.js';
import { adviceCard, cueCard } from './cue-card.js';
import { footDiagram } from './foot-diagram.js';
import { plotSheet } from './plots.js';
import { repTable } from './rep-table.js';
import { setFacts } from './set-facts.js';
import { faultLines } from './thresholds.js';
import { markOf, number, rows, viewWords } from './words.js';
import { LINES, worstOf } from './worst.js';

/** Checks that show in knees and feet alone. */
const LOW = ['heel_lift_mm', 'knee_in_deg', 'foot_roll_deg'];

/**
 * The picture of a set: stopped at its worst moment, with what was found drawn on it.
 * @param {import('../app/types.js').KeptSet} set its report needs `series`
 * @param {{ film?: import('../app/types.js').Film, onFrame?: (frame: number) => void }} [options]
 */
export async function resultPlayer({ recording, report }, { film, onFrame = () => {} } = {}) {
  const index = await jointIndex(recording.layout);
  const worst = worstOf(report);
  const said = el('p', { class: 'picture-said', role: 'status' });
  const times = recording.frames.map((/** @type {any} */ f) => f.t_ms);
  const player = createPlayer(recording, index, {
    film,
    reps: report.reps,
    worst: worst?.rep,
    low: Boolean(worst?.check && LOW.includes(worst.check.key)),
    over: worst?.check ? overlay(new FaultMark(recording, index, report), recording.frames, report, worst) : undefined,
    onFrame: (frame) => {
      onFrame(frame);
      const text = worst && frame === nearest(times, worst.t_ms) ? worst.words : '';
      if (said.textContent !== text) said.textContent = text;
    },
  });
  if (worst) player.seek(worst.t_ms);
  return {
    ...player,
    root: el('div', { class: 'picture' }, said, player.root, worst?.check ? el('p', { class: 'hint' }, pictureKey(worst.check.key, Boolean(film))) : null),
  };
}

/**
 * @param {import('../app/types.js').KeptSet} set its report needs `series`
 * @param {Action[]} actions buttons under the cue
 * @param {{ at?: string, film?: import('../app/types.js').Film, choice?: HTMLElement, next?: HTMLElement | null }} [options] at: the address; film: the video it was
 *   read from; choice: whether to keep it; next: what else could be filmed
 */
export async function showResult(set, actions, { at, film, choice, next } = {}) {
  const { report } = set;
  const feet = footDiagram(report.series, report.view);
  const player = await resultPlayer(set, { film, onFrame: (frame) => feet.show(frame) });
  const seek = (/** @type {number} */ t_ms) => {
    player.seek(t_ms);
    player.root.scrollIntoView({ block: 'nearest' });
  };
  const plots = report.series && report.reps.length ? plotSheet(report, await faultLines(set.thresholds)) : null;
  const count = report.reps.length;
  $('result').replaceChildren(
    el('h1', { id: 'result-title', tabindex: '-1' }, count === 1 ? 'One repetition' : `${count || 'No'} repetitions`),
    el('p', { class: 'set-facts' }, [set.name, ...setFacts(set), viewWords(report.view)].filter(Boolean).join(' · ')),
    el(
      'div',
      { class: 'result-top' },
      el('div', { class: 'result-said' }, cueCard(report), next),
      el('div', { class: 'result-side' }, player.root, choice),
      el('div', { class: 'result-more' }, el('div', { class: 'actions' }, ...buttons(actions.filter((a) => !a.aside)), ...aside(actions)), adviceCard(report)),
    ),
    el('section', {}, el('h2', {}, 'Rep by rep'), repTable(report, seek, set.checks)),
    plots
      ? foldedSection(
          'plot-section',
          'Through each rep',
          el(
            'p',
            {},
            'One line a rep: thick with a triangle where it has a fault, dashed where that is not certain, thin where it is OK. Shaded area = fault. The band: where the worst rep’s true course probably lies (95 %).',
          ),
          plots.root,
        )
      : '',
    foldedSection('feet-section', 'Feet at that moment', feet.root),
    notes(report),
  );
  show('result', {
    source: set.source,
    at,
    onLeave: () => {
      player.dispose();
      plots?.dispose();
    },
  });
}

/** @typedef {{ label: string, act: () => void, first?: boolean, aside?: boolean }} Action first: what most will want; aside: what a small screen folds away */

/** @param {Action[]} actions */
function aside(actions) {
  const some = buttons(actions.filter((a) => a.aside));
  return some.length ? folded('Save, share, print', ...some) : [];
}

/** @param {Action[]} actions */
function buttons(actions) {
  return actions.map(({ label, act, first }) => el('button', { type: 'button', class: first ? '' : 'plain', onclick: act }, label));
}

/**
 * Draws the check that the picture is about at every moment, and whatever else the repetition did wrong in knees and feet; a value only where the table has it.
 * @param {FaultMark} marks
 * @param {readonly { t_ms: number }[]} frames
 * @param {any} report
 * @param {import('./worst.js').Worst} worst
 */
function overlay(marks, frames, report, worst) {
  const at = nearest(
    frames.map((f) => f.t_ms),
    worst.t_ms,
  );
  const main = { check: /** @type {import('./words.js').CheckWords} */ (worst.check), side: worst.side, mark: worst.mark };
  const others = rows()
    .map((row) => ({ ...row, mark: markOf(worst.rep, row.check, row.side) }))
    .filter(({ check, side, mark }) => mark.verdict === 'fault' && LOW.includes(check.key) && !(check.key === main.check.key && side === main.side));
  return (/** @type {CanvasRenderingContext2D} */ pen, /** @type {(p: [number, number]) => [number, number]} */ place, /** @type {number} */ frame) => {
    for (const { check, side, mark } of [...others, main]) {
      const there = frame === at && mark === main.mark;
      const value = there ? mark.value : (side ? report.series?.[check.key]?.[side] : report.series?.[check.key])?.[frame];
      if (typeof value === 'number')
        marks.draw(pen, place, frame, { check: check.key, side, value, fault: mark.verdict === 'fault', label: there ? labelOf(value, check) : '' });
    }
  };
}

/** On the picture there is no room for more. @param {number} value @param {import('./words.js').CheckWords} check */
function labelOf(value, check) {
  const size = number(Math.abs(value));
  if (check.key === 'heel_lift_mm') return value < 0.5 ? 'down' : `${size} mm`;
  return check.key.endsWith('_pct') ? `${size} %` : `${size}°${size === '0' ? '' : value > 0 ? ' in' : ' out'}`;
}

/** @param {string} check @param {boolean} film */
function pictureKey(check, film) {
  return `${LINES[check] ?? ''}${film ? '' : ' Left leg white, right leg shaded.'}`;
}

/** @param {any} report */
function notes(report) {
  if (!report.notes.length) return '';
  return foldedSection(
    'notes-section',
    'Notes: what we couldn’t see',
    el('ul', {}, ...report.notes.map((/** @type {any} */ n) => el('li', {}, typeof n === 'string' ? n : n.text))),
  );
}
