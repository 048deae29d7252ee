// @ts-check
/** How a set is filmed so that the feet can be read: a drawing and four lines, the same for the camera and for a video. */
import { $, art, el } from './dom.js';

const LINES = [
  'Phone between knee and hip height, upright, level, about three metres away. It stays where it is.',
  'Head to feet in the picture, with the light behind the phone. Shoes hide much of the foot.',
  'Stand still for two seconds before the first rep and after the last.',
  'From the front for knees, arches and balance; from the side for heels. Best of all, a set of each.',
];

export function filmLikeThis() {
  return el('figure', { class: 'placing' }, art('placing', 'placing-art'), el('figcaption', {}, el('ol', {}, ...LINES.map((line) => el('li', {}, line)))));
}

/** Shows it before a video is chosen. @param {() => void} choose opens the choice of files */
export function beforeChoosing(choose) {
  const box = /** @type {HTMLDialogElement} */ ($('before'));
  const close = () => box.close();
  box.replaceChildren(
    el('h2', { id: 'before-title' }, 'Film it like this'),
    filmLikeThis(),
    el(
      'p',
      { class: 'actions' },
      el(
        'button',
        {
          type: 'button',
          id: 'choose-video',
          onclick: () => {
            close();
            choose();
          },
        },
        'Choose a video',
      ),
      el('button', { type: 'button', class: 'plain', onclick: close }, 'Cancel'),
    ),
  );
  box.showModal();
}
