// @ts-check
/** What waits on the start screen: a coach's check that is not sent back yet, and sets that were cut off. */
import { $, el } from './dom.js';
import { showTrouble } from './trouble.js';
import { checksBefore } from '../asked/asked.js';
import { cutOff, forget } from '../records/under-way.js';

/** @param {(flow: () => Promise<void>) => unknown} run starts a flow */
export async function showWaiting(run) {
  const sets = await cutOff().catch(() => []);
  $('waiting').replaceChildren(
    ...checksBefore().map((check) =>
      slip(`A check from ${check.coach || 'your coach'} is open: ${check.taken} of ${check.views} ${check.views === 1 ? 'angle' : 'angles'} filmed.`, [
        'Back to the check',
        () => run(async () => (await import('../asked/open-link.js')).openLink(check.fragment)),
      ]),
    ),
    ...sets.map((set) =>
      slip(
        `A set was cut off ${when(set.head.made)}: ${Math.round(set.seconds)} seconds of it are here.`,
        ['Show its result', () => run(async () => (await import('../flows/cut-off.js')).runCutOff(set))],
        [
          'Discard',
          () => {
            if (window.confirm('Discard this set? It can’t be brought back.')) forget(set.id).then(() => showWaiting(run), showTrouble);
          },
        ],
      ),
    ),
  );
}

/** @param {string} text @param {...[string, () => unknown]} buttons */
function slip(text, ...buttons) {
  return el(
    'div',
    { class: 'slip' },
    el('p', {}, text),
    el('p', { class: 'actions' }, ...buttons.map(([label, act], i) => el('button', { type: 'button', class: i ? 'plain' : '', onclick: act }, label))),
  );
}

/** @param {string} made ISO 8601 time */
function when(made) {
  const at = new Date(made);
  return Number.isNaN(at.getTime()) ? '' : at.toLocaleString(undefined, { dateStyle: 'medium', timeStyle: 'short' });
}
