// @ts-check
/** What a small screen folds away: reachable there by a tap, and printed all the same. */
import { el } from './dom.js';

/** A phone, as in the style sheets. */
export const small = () => matchMedia('(max-width: 46rem)').matches;

/** @param {Node | string} summary @param {...(Node | string | null)} content @returns {Node[]} as it is on a large screen, without the summary */
export function folded(summary, ...content) {
  const all = content.filter((part) => part !== null);
  if (!small()) return all.map((part) => (typeof part === 'string' ? document.createTextNode(part) : part));
  return [el('details', { class: 'fold' }, el('summary', {}, summary), ...all)];
}

/** A section with a heading, of which a small screen shows the heading alone. @param {string} name @param {string} title @param {...Node} content */
export function foldedSection(name, title, ...content) {
  const heading = el('h2', {}, title);
  if (!small()) return el('section', { class: name }, heading, ...content);
  return el('section', { class: name }, el('details', { class: 'fold' }, el('summary', {}, heading), ...content));
}

/** Paper has no taps: everything is open while it is printed. */
export function unfoldForPrint() {
  /** @type {HTMLDetailsElement[]} */
  let opened = [];
  addEventListener('beforeprint', () => {
    opened = [.../** @type {NodeListOf<HTMLDetailsElement>} */ (document.querySelectorAll('details.fold:not([open])'))];
    for (const one of opened) one.open = true;
  });
  addEventListener('afterprint', () => {
    for (const one of opened) one.open = false;
  });
}
