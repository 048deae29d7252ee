// @ts-check
/** Gives a link or a file to somebody: copy, the device's share sheet, or a QR code. */
import { announce, el } from '../app/dom.js';
import { qrCode } from './qr.js';

/** Longest link that a QR code of ordinary size still carries well. */
const QR_MAX = 900;

/**
 * @param {string} link
 * @param {{ title: string, qr: string }} words
 */
export function linkBox(link, { title, qr }) {
  const field = el('input', { type: 'text', class: 'link-text', readonly: true, value: link, 'aria-label': title, onfocus: (/** @type {any} */ event) => event.target.select() });
  const said = el('span', { role: 'status' });
  const copy = el('button', { type: 'button', onclick: async () => {
    try {
      await navigator.clipboard.writeText(link);
      said.textContent = 'Copied.';
    } catch {
      // No permission: the text is selected, so that the keyboard's copy works.
      field.select();
      said.textContent = 'Selected: copy it with the keyboard or a long press.';
    }
  } }, 'Copy the link');
  const share = 'share' in navigator
    ? el('button', { type: 'button', class: 'plain', onclick: () => navigator.share({ title, url: link }).catch(() => announce('Not shared.')) }, 'Share…')
    : null;
  return el('div', { class: 'link-box' }, field, el('p', { class: 'actions' }, copy, share, said),
    link.length <= QR_MAX ? el('figure', {}, qrCode(link, qr), el('figcaption', {}, qr)) : null);
}
