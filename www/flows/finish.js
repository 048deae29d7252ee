// @ts-check
/** The end of every way in: recording and report become a set on screen. */
import { $, announce } from '../app/dom.js';
import { core } from '../app/core.js';
import { show } from '../app/screens.js';
import { Trouble, showTrouble } from '../app/trouble.js';
import { keep } from '../records/store.js';
import { saveAs } from '../app/save-as.js';
import { asked, checkOptions } from '../asked/asked.js';
import { showAsked, takeForCheck } from '../asked/asked-view.js';
import { showResult } from '../result/result-view.js';

/** @typedef {import('../app/types.js').KeptSet} KeptSet */

/**
 * @param {{ recording: any, hurts?: boolean, source: string, name?: string }} taken
 * @returns {Promise<KeptSet>}
 */
export async function measure({ recording, hurts = false, source, name = '' }) {
  refuseEmpty(recording);
  const { analyze, version } = await core();
  await measuring();
  const report = analyze(recording, { series: true, hurts, ...checkOptions() });
  const made = new Date().toISOString();
  return { id: crypto.randomUUID(), name, made, source, recording, report, made_with: version };
}

/**
 * The set of a session that has taken its frames.
 * @param {any} session
 * @param {{ source: string, before: import('../app/types.js').Before }} taken
 * @returns {Promise<KeptSet>}
 */
export async function finish(session, { source, before }) {
  const { version } = await core();
  const recording = session.recording();
  refuseEmpty(recording);
  await measuring();
  return { id: crypto.randomUUID(), name: before.name, made: new Date().toISOString(), source, recording, report: session.report({ series: true }), made_with: version };
}

/** Says that it measures, and lets that be painted before the measuring holds the page up. */
async function measuring() {
  $('block-sheet').textContent = 'Measuring…';
  announce('Measuring.');
  await new Promise((resolve) => setTimeout(resolve, 30));
}

/** @param {any} recording */
function refuseEmpty(recording) {
  if (recording.frames?.length && recording.frames.every((/** @type {any} */ f) => f.points === null || f.people?.length === 0)) {
    throw new Trouble('Nobody was found in the picture: step back until you are seen from head to feet, with more light, and try again.');
  }
}

/**
 * Shows a set and keeps it on this device; a set that could not be kept is shown all the same.
 * @param {KeptSet} set
 * @param {{ kept?: boolean, film?: File }} [options] kept: it is on this device already, or isn't the lifter's own; film: to be looked at, never kept
 */
export async function present(set, { kept = false, film } = {}) {
  const forCheck = !kept && asked()
    ? [{ label: 'Use it for the check', act: () => { takeForCheck(set); showAsked(); } }, { label: 'Film again', act: showAsked }]
    : [];
  await showResult(set, [
    ...forCheck,
    { label: 'Save the keypoints as a file', act: () => saveAs(`squat-${set.made.slice(0, 10)}.json`, JSON.stringify(set.recording)) },
    { label: 'Print', act: () => window.print() },
    { label: 'Another set', act: () => show('start') },
  ], film);
  if (!kept) await keep(set).catch(showTrouble);
}
