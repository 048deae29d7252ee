// @ts-check
/** Gives a link to somebody: copy, the device's share sheet, or a QR code. */
import { announce, el } from '../app/dom.js';
import { linkTo, reach, typeAddress, typedAddress } from './address.js';
import { qrCode } from './qr.js';

/** Longest link that a QR code of ordinary size still carries well. */
const QR_MAX = 900;

const WHERE = {
  here: 'This page is open on this device only, so nobody else can open this link. Put the page on the web, and type its address here.',
  near: 'This page is open in your own network only: elsewhere nobody can open this link. Put the page on the web, and type its address here.',
};

/**
 * @param {string} fragment
 * @param {{ title: string, qr: string, onGiven?: () => void }} words onGiven: it was copied or shared
 */
export function linkBox(fragment, words) {
  const box = el('div', { class: 'link-box' });
  const where = reach();
  const draw = () => box.replaceChildren(where === 'anywhere' ? '' : addressField(where, draw), ...parts(linkTo(fragment), words));
  draw();
  return box;
}

/** @param {'here' | 'near'} where @param {() => void} changed */
function addressField(where, changed) {
  const said = el('small', { role: 'status' }, 'Such as https://example.org/underfoot/');
  const input = el('input', { type: 'text', inputmode: 'url', name: 'link-address', value: typedAddress(), autocomplete: 'url', spellcheck: 'false' });
  input.addEventListener('change', () => {
    if (typeAddress(input.value)) changed();
    else said.textContent = 'That is no web address: it begins with https:// and a name with a dot.';
  });
  return el(
    'div',
    { class: 'slip', id: 'link-reach' },
    typedAddress() ? '' : el('p', {}, WHERE[where]),
    el('label', { class: 'field' }, 'The page’s address on the web', input, said),
  );
}

/** @param {string} link @param {{ title: string, qr: string, onGiven?: () => void }} words */
function parts(link, { title, qr, onGiven = () => {} }) {
  const field = el('input', {
    type: 'text',
    class: 'link-text',
    readonly: true,
    value: link,
    'aria-label': title,
    onfocus: (/** @type {any} */ event) => event.target.select(),
  });
  const said = el('span', { role: 'status' });
  const copy = el(
    'button',
    {
      type: 'button',
      onclick: async () => {
        try {
          await navigator.clipboard.writeText(link);
          said.textContent = 'Copied.';
        } catch {
          // No permission: the text is selected, so that the keyboard's copy works.
          field.select();
          said.textContent = 'Selected: copy it with the keyboard or a long press.';
        }
        onGiven();
      },
    },
    'Copy the link',
  );
  const share =
    'share' in navigator
      ? el(
          'button',
          { type: 'button', class: 'plain', onclick: () => navigator.share({ title, url: link }).then(onGiven, () => announce('Not shared.')) },
          'Share…',
        )
      : null;
  return [field, el('p', { class: 'actions' }, copy, share, said), link.length <= QR_MAX ? el('figure', {}, qrCode(link, qr), el('figcaption', {}, qr)) : ''];
}
