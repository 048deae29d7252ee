// @ts-check
/**
 * What the address brought: a coach's check or a summary. A link only ever opens a screen; it
 * starts no camera, deletes nothing and leads nowhere else.
 */
import { $, el } from '../app/dom.js';
import { show } from '../app/screens.js';
import { Trouble, showTrouble } from '../app/trouble.js';
import { linesTrouble } from '../coach/check-lines.js';
import { ShareError } from '../share/errors.js';
import { readLink } from '../share/find-link.js';
import { leaveAsked, startAsked } from './asked.js';
import { showAsked } from './asked-view.js';

/** @param {string} text an address, its fragment, or a message with a link in it */
export async function openLink(text) {
  delete document.documentElement.dataset.opening;
  const link = read(text);
  if (link.kind === 'result') {
    const { showSummary } = await import('../coach/summary-view.js');
    return showSummary(link.summary, link.fragment);
  }
  await startAsked(link);
  showAsked();
  // While the client reads: nobody should film for a check that can't be judged.
  const bad = await linesTrouble(link.check.thresholds);
  if (!bad) {
    import('../input/estimator.js').then(({ fetchEstimator }) => fetchEstimator()).catch(() => {});
    return;
  }
  leaveAsked();
  show('start');
  throw new Trouble(`This check can’t be used, since one of its limits makes no sense. ${bad} Ask ${link.check.coach || 'your coach'} for a new link.`);
}

/** @param {string} text */
function read(text) {
  try {
    return readLink(text);
  } catch (error) {
    showPaste();
    if (error instanceof ShareError && error.code !== 'not-ours') throw error;
    throw new Trouble('This link is incomplete: the end of the address is neither a check nor a result. Ask for it again, or paste the whole message here.', {
      cause: error,
    });
  }
}

/** Chat programs cut links; what they show as text is often still whole. */
function showPaste() {
  const text = el('textarea', { id: 'pasted', rows: 5, autocomplete: 'off', spellcheck: 'false' });
  const form = el(
    'form',
    { class: 'paste-link' },
    el('label', { class: 'field' }, 'The message with the link', text, el('small', {}, 'Copy all of it, and paste it here. Nothing is sent.')),
    el(
      'p',
      { class: 'actions' },
      el('button', { type: 'submit' }, 'Open it'),
      el('button', { type: 'button', class: 'plain', onclick: () => show('start') }, 'To the start'),
    ),
  );
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    openLink(text.value).catch(showTrouble);
  });
  $('asked').replaceChildren(el('h1', { id: 'asked-title', tabindex: '-1' }, 'This link can’t be read'), form);
  show('asked', { source: 'a link' });
}
