// @ts-check
/** The end of every way in: recording and report become a set on screen. */
import { $, announce, el } from '../app/dom.js';
import { core } from '../app/core.js';
import { analyze } from '../app/measurer.js';
import { show } from '../app/screens.js';
import { Trouble, clearTrouble, showTrouble } from '../app/trouble.js';
import { filmChoice } from '../records/film-choice.js';
import { keep } from '../records/store.js';
import { saveAs } from '../app/save-as.js';
import { asked, checkOptions, checksWanted } from '../asked/asked.js';
import { showAsked, takeForCheck } from '../asked/asked-view.js';
import { showResult } from '../result/result-view.js';
import { secondOf, waitsForSecond } from './both.js';

/** @typedef {import('../app/types.js').KeptSet} KeptSet */
/** @typedef {import('../app/types.js').Film} Film */

/**
 * @param {{ recording: any, hurts?: boolean, source: string, name?: string, thresholds?: KeptSet['thresholds'] }} taken thresholds: those of
 *   the check that is open when left out
 * @returns {Promise<KeptSet>}
 */
export async function measure({ recording, hurts = false, source, name = '', thresholds = checkOptions().thresholds }) {
  refuseEmpty(recording);
  const { version } = await core();
  const report = await measuring(analyze(recording, { series: true, hurts, ...(thresholds ? { thresholds } : {}) }));
  return {
    id: crypto.randomUUID(),
    name,
    made: new Date().toISOString(),
    source,
    recording,
    report,
    made_with: version,
    ...(hurts ? { hurts } : {}),
    ...(thresholds ? { thresholds } : {}),
    ...checksWanted(),
  };
}

/** @param {any} recording @throws {Error} when it can't be used */
export async function tryOut(recording) {
  refuseEmpty(recording);
  await measuring(analyze(recording));
}

/**
 * The set of a session that has taken its frames.
 * @param {import('../app/running-set.js').RunningSet} set
 * @param {{ source: string, before: import('../app/types.js').Before, filmed?: string }} taken filmed: ISO 8601 time, where it was not now
 * @returns {Promise<KeptSet>}
 */
export async function finish(set, { source, before, filmed }) {
  const { version } = await core();
  const { recording, report } = await measuring(set.take());
  refuseEmpty(recording);
  return {
    id: crypto.randomUUID(),
    name: before.name,
    made: new Date().toISOString(),
    ...(filmed ? { filmed } : {}),
    source,
    recording,
    report,
    made_with: version,
    ...(before.hurts ? { hurts: true } : {}),
    ...checkOptions(),
    ...checksWanted(),
  };
}

/** Says that it measures until it has. @template T @param {Promise<T>} work @returns {Promise<T>} */
async function measuring(work) {
  const sign = $('measuring');
  sign.hidden = false;
  announce('Working out the result.');
  try {
    return await work;
  } finally {
    sign.hidden = true;
  }
}

/** @param {any} recording */
function refuseEmpty(recording) {
  if (recording.frames?.length && recording.frames.every((/** @type {any} */ f) => f.points === null || f.people?.length === 0)) {
    throw new Trouble('Nobody was found in the picture: step back until you are seen from head to feet, with more light, and try again.');
  }
}

/** Films of the last results, by set: Back and Forward bring them back. @type {Map<string, Film>} */
const films = new Map();
const FILMS_HELD = 2;

/** Videos held for the sets that were measured last. */
export const recentFilms = films;

/** @param {string} id of a set whose video is not saved */
export function recentFilm(id) {
  return films.get(id);
}

/** @param {string} id @param {Film} film */
function hold(id, film) {
  films.delete(id);
  films.set(id, film);
  if (films.size > FILMS_HELD) films.delete(/** @type {string} */ (films.keys().next().value));
}

/** How long the result may wait for its being kept. */
const SAVE_MS = 1500;

/**
 * Shows a set and keeps it on this device; a set that could not be kept is shown all the same.
 * @param {KeptSet} set
 * @param {{ kept?: boolean, own?: boolean, at?: string, film?: Film, filmKept?: boolean, onKept?: () => unknown }} [options] kept: it is on this device already; own: false for
 *   a set that isn't the lifter's, which is never kept; at: the result's address; film: to look at, and kept only if the lifter says so
 */
export async function present(set, { kept = false, own = true, at = `#/result/${set.id}`, film, filmKept = false, onKept = () => {} } = {}) {
  if (film && own) hold(set.id, film);
  const first = own && !kept && !asked() ? await secondOf(set) : null;
  const forCheck =
    own && asked()
      ? [
          {
            label: 'Use this set for the check',
            first: true,
            act: () => {
              takeForCheck(set);
              showAsked();
            },
          },
          { label: 'Back to the check', act: showAsked },
        ]
      : [];
  // A set in which nothing was counted would only be in the way among the others.
  const empty = own && !kept && !set.report.reps.length;
  const saved = kept || !own ? Promise.resolve() : empty ? Promise.resolve(onKept()) : keep(set).then(onKept);
  const settled = saved.catch(() => {});
  // What is on screen should be kept already; but a storage that does not answer must not keep it from the screen.
  await Promise.race([settled, new Promise((resolve) => setTimeout(resolve, SAVE_MS))]);
  await showResult(
    set,
    [
      ...forCheck,
      { label: 'Another set', act: () => show('start') },
      { label: 'Save the pose data as a file', aside: true, act: () => saveAs(`squat-${set.made.slice(0, 10)}.json`, JSON.stringify(set.recording)) },
      {
        label: 'Share as a picture',
        aside: true,
        act: () => {
          import('../result/result-picture.js').then(({ sharePicture }) => sharePicture(set)).catch(showTrouble);
        },
      },
      { label: 'Print', aside: true, act: () => window.print() },
    ],
    { at, next: own && !asked() && !first ? waitsForSecond(set) : null, ...(film ? { film, choice: filmChoice(set.id, film, filmKept, settled) } : {}) },
  );
  if (empty) offerAgain(set, onKept, new Trouble('No rep was counted, so this set is not saved with the others; you can still save it.'));
  await saved.catch((error) => offerAgain(set, onKept, error));
  if (first) await (await import('./both.js')).showTogether([first, set]);
}

/** A set that could not be kept is offered again, for when there is room or the other tab is closed. @param {KeptSet} set @param {() => unknown} onKept @param {unknown} error */
function offerAgain(set, onKept, error) {
  showTrouble(error);
  const again = el(
    'button',
    {
      type: 'button',
      id: 'keep-again',
      onclick: async () => {
        try {
          await keep(set);
          await onKept();
          again.remove();
          clearTrouble();
          announce('The set is saved.');
        } catch (still) {
          showTrouble(still);
        }
      },
    },
    'Save this set',
  );
  $('result').querySelector('.actions')?.prepend(again);
}
