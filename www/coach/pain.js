// @ts-check
/** What a coach must see before anything else of a result: that something hurts. */
import { el } from '../app/dom.js';

/**
 * @param {(boolean | null)[]} hurts by set; null where the client's version of the page did not pass it on
 * @returns {HTMLElement | ''}
 */
export function painNotice(hurts) {
  if (hurts.some(Boolean)) {
    return el(
      'section',
      { class: 'slip pain', role: 'alert', 'aria-labelledby': 'pain-title' },
      el('h2', { id: 'pain-title' }, 'Something hurts'),
      el(
        'p',
        {},
        'The client said so before the set, and was told to stop and see a licensed clinician before any further set. No cue is given. What was seen is below, for whoever looks at it.',
      ),
    );
  }
  if (hurts.some((h) => h === null)) {
    return el('p', { class: 'hint' }, 'Made with an older version of the page, which did not pass on whether anything hurt: ask.');
  }
  return '';
}
