// @ts-check
/** What a client sees who opened a coach's link: what is wanted, in order, then send back. */
import { $, el } from '../app/dom.js';
import { show } from '../app/screens.js';
import { showTrouble } from '../app/trouble.js';
import { CHECKS } from '../result/words.js';
import { VIEW_HINTS, VIEW_WORDS, otherThanAsked } from '../coach/words.js';
import { asked, leaveAsked, rememberAsked } from './asked.js';

const CAUTIONS =
  'Set the safeties, use a spotter if it is heavy, and don’t look at the screen while lifting. If anything hurts, stop, and see a licensed clinician before you film.';

/** @param {() => Promise<unknown>} act @returns {() => void} */
const guarded = (act) => () => {
  act().catch(showTrouble);
};

export function showAsked() {
  const state = asked();
  if (!state) return show('start');
  const { check, taken } = state;
  const wanted = CHECKS.filter((c) => check.checks.some((k) => k === c.key)).map((c) => c.label.toLowerCase());
  const next = check.views.find((v) => !taken.has(v));
  $('asked').replaceChildren(
    el('h1', { id: 'asked-title', tabindex: '-1' }, check.coach ? `A check from ${check.coach}` : 'A check from your coach'),
    check.message ? el('blockquote', { class: 'slip' }, el('p', {}, check.message)) : '',
    check.cue ? el('div', {}, el('p', { class: 'note-label' }, 'What to practise'), el('p', { class: 'cue-text' }, check.cue)) : '',
    el(
      'dl',
      { class: 'asked-facts' },
      el('dt', {}, 'Repetitions'),
      el('dd', {}, `${check.reps} from each angle`),
      ...(check.load ? [el('dt', {}, 'Load'), el('dd', {}, check.load)] : []),
      el('dt', {}, 'Checked'),
      el('dd', {}, wanted.join(', ')),
      ...(Object.keys(check.thresholds).length ? [el('dt', {}, 'Limits'), el('dd', {}, 'changed by the coach')] : []),
    ),
    el('p', {}, CAUTIONS),
    el('ol', { class: 'asked-views' }, ...check.views.map((view) => viewItem(view, view === next))),
    el(
      'p',
      { class: 'actions' },
      el(
        'button',
        { type: 'button', id: 'send-back', disabled: taken.size === 0, onclick: guarded(async () => (await import('./send-back.js')).showSendBack()) },
        'Send back',
      ),
      el('button', { type: 'button', class: 'plain', onclick: leave }, 'Close this check'),
    ),
    el('p', {}, 'Nothing is sent by itself. You see everything before you hand it over, and the video stays on your device.'),
  );
  show('asked', { at: `#${state.fragment}`, source: check.coach ? `a check from ${check.coach}` : 'a coach’s check' });
}

/** What the coach wants of the set that is about to be filmed, or ''. */
export function askedWords() {
  const state = asked();
  const view = state?.now ?? state?.check.views.find((v) => !state.taken.has(v));
  if (!state || !view) return '';
  const { reps, load, cue } = state.check;
  return [`For the check: ${reps} repetitions, ${VIEW_HINTS[view]}${load ? `, load ${load}` : ''}.`, cue].filter(Boolean).join(' Practise: ');
}

function leave() {
  const taken = asked()?.taken.size;
  if (!window.confirm(`Close this check? ${taken ? 'What you filmed stays among your saved sets. ' : ''}To come back, open the coach’s link again.`)) return;
  leaveAsked();
  history.replaceState(null, '', location.pathname);
  show('start');
}

/** @param {import('./asked.js').Check['views'][number]} view @param {boolean} isNext */
function viewItem(view, isNext) {
  const state = asked();
  const set = state?.taken.get(view);
  const other = set && otherThanAsked(set.report, view, state?.check.reps ?? 0);
  const start = (/** @type {() => Promise<void>} */ flow) =>
    guarded(async () => {
      if (state) state.now = view;
      await flow();
    });
  const pick = el('input', {
    type: 'file',
    accept: 'video/*,.json,.gz',
    hidden: true,
    onchange: (/** @type {any} */ event) => {
      const file = event.target.files?.[0];
      if (file)
        start(async () => {
          const { kindOf } = await import('../input/read-file.js');
          if (kindOf(file) === 'video') await (await import('../flows/video.js')).runVideo(file);
          else await (await import('../flows/keypoints.js')).runKeypoints(file);
        })();
    },
  });
  return el(
    'li',
    { class: set ? 'done' : isNext ? 'next' : '' },
    el('b', {}, VIEW_WORDS[view]),
    el(
      'span',
      {},
      set ? `done: ${set.report.reps.length} repetitions` : VIEW_HINTS[view],
      other ? el('small', { class: 'other' }, `${other} Film it again if you can; if not, send it as it is.`) : null,
    ),
    el(
      'span',
      { class: 'actions' },
      el(
        'button',
        { type: 'button', class: isNext ? '' : 'plain', onclick: start(async () => (await import('../flows/camera.js')).runCamera()) },
        set ? 'Film again' : 'Film it now',
      ),
      el('button', { type: 'button', class: 'plain', onclick: () => pick.click() }, 'Use a file'),
      pick,
    ),
  );
}

/**
 * A finished set belongs to the view being filmed.
 * @param {import('../app/types.js').KeptSet} set
 * @returns {boolean} whether a check is going on
 */
export function takeForCheck(set) {
  const state = asked();
  const view = state?.now ?? state?.check.views.find((v) => !state.taken.has(v));
  if (!state || !view) return false;
  state.taken.set(view, set);
  state.now = null;
  rememberAsked();
  return true;
}
