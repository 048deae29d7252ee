// @ts-check
/** A second set, from another side, for what the first could not show. */
import { el } from '../app/dom.js';
import { showTrouble, Trouble } from '../app/trouble.js';
import { missing } from '../result/both-sides.js';
import { cardOf, change, filmOf, keypoints } from '../records/store.js';

/** @typedef {import('../app/types.js').KeptSet} KeptSet */

/** The set that waits for a second one, and since when. @type {{ set: KeptSet, at: number } | null} */
let waiting = null;
/** A second set that is filmed later belongs to another visit to the rack. */
const TOGETHER_MS = 60 * 60_000;
/** Seen from the side within this, degrees; common practice, no source. */
const SIDE_DEG = 35;

/** Offers to film what this set could not show. @param {KeptSet} set @returns {HTMLElement | null} */
export function waitsForSecond(set) {
  const { report } = set;
  const left = missing(report);
  const azimuth = report.view?.azimuth_deg;
  // No other side shows more of what is no squat.
  if (report.finding.kind === 'not-squats') return null;
  if (!left.length || azimuth === undefined || azimuth === null) return null;
  const fromSide = Math.abs(Math.abs(azimuth) - 90) < SIDE_DEG;
  // What a set from the other side can show better than this one.
  const better = left.filter((row) => (fromSide ? row !== 'heel' && row !== 'weight forward' : row === 'heel' || row === 'weight forward'));
  if (!better.length) return null;
  const where = fromSide ? 'facing the camera' : 'with your side to the camera';
  const begin = (/** @type {() => Promise<unknown>} */ flow) => () => {
    waiting = { set, at: Date.now() };
    flow().catch(showTrouble);
  };
  const pick = el('input', {
    type: 'file',
    accept: 'video/*,.json,.gz',
    hidden: true,
    class: 'pick-second',
    onchange: (/** @type {any} */ event) => {
      const file = event.target.files?.[0];
      if (file)
        begin(async () => {
          const { whatIs } = await import('../input/read-file.js');
          if ((await whatIs(file)) === 'video') await (await import('./video.js')).runVideo(file);
          else await (await import('./keypoints.js')).runKeypoints(file);
        })();
    },
  });
  return el(
    'section',
    { class: 'slip second', 'aria-label': 'A second set' },
    el('p', {}, `Not judged from here: ${better.join(', ')}. A second set, ${where}, shows ${better.length === 1 ? 'it' : 'them'}; the two make one result.`),
    el(
      'p',
      { class: 'actions' },
      el('button', { type: 'button', onclick: begin(async () => (await import('./camera.js')).runCamera()) }, 'Film the second set'),
      el('button', { type: 'button', class: 'plain', onclick: () => pick.click() }, 'Open its video'),
      pick,
    ),
  );
}

/** The first set, if this one is its second. @param {KeptSet} second @returns {Promise<KeptSet | null>} */
export async function secondOf(second) {
  const now = waiting;
  waiting = null;
  if (!now || Date.now() - now.at > TOGETHER_MS || !second.report.reps.length) return null;
  await change(now.set.id, { with: second.id }).catch(() => {});
  return now.set;
}

/** @param {[KeptSet, KeptSet]} sets */
export async function showTogether(sets) {
  const [{ showBoth }, { recentFilms }, { openSet }] = await Promise.all([
    import('../result/both-view.js'),
    import('./finish.js'),
    import('../records/open-set.js'),
  ]);
  await showBoth(
    sets,
    (set) => {
      openSet(set.id).catch(showTrouble);
    },
    recentFilms,
  );
}

/** Two saved sets as one result. @param {string[]} ids */
export async function openBoth(ids) {
  const { measure, recentFilms } = await import('./finish.js');
  const sets = await Promise.all(
    ids.slice(0, 2).map(async (id) => {
      const card = await cardOf(id);
      if (!card) throw new Trouble('One of these two sets is not saved on this device (any more).');
      if (card.film_bytes !== undefined) {
        const film = await filmOf(id);
        if (film) recentFilms.set(id, film);
      }
      const { hurts, thresholds = {}, source, name, made, filmed } = card;
      return { ...(await measure({ recording: await keypoints(id), hurts, thresholds, source, name })), id, made, ...(filmed ? { filmed } : {}) };
    }),
  );
  if (sets.length < 2) throw new Trouble('Two sets are needed: film a second one from the other side.');
  await showTogether(/** @type {[KeptSet, KeptSet]} */ (sets));
}
