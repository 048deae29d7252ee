// @ts-check
/** Whether a set's video is kept with it: only when the lifter says so, and for as long as they like. */
import { announce, el } from '../app/dom.js';
import { showTrouble } from '../app/trouble.js';
import { changeFilm } from './store.js';

/**
 * @param {string} id of the set
 * @param {import('../app/types.js').Film} film
 * @param {boolean} kept it is kept already
 * @param {Promise<unknown>} settled when the set itself is kept, or could not be
 */
export function filmChoice(id, film, kept, settled) {
  const said = el('span', {});
  const button = el('button', { type: 'button', class: 'plain' });
  let now = kept;
  const show = () => {
    said.textContent = now ? 'The video is saved with this set, on this device.' : '';
    button.textContent = now ? 'Delete the video' : `Save the video with this set (${megabytes(film.file.size)})`;
  };
  button.addEventListener('click', async () => {
    if (now && !window.confirm('Delete the video of this set? The numbers and the figure stay.')) return;
    button.disabled = true;
    try {
      await settled;
      await changeFilm(id, now ? null : film);
      now = !now;
      show();
      announce(said.textContent || 'The video is deleted.');
    } catch (error) {
      showTrouble(error);
    } finally {
      button.disabled = false;
    }
  });
  show();
  return el('p', { class: 'film-choice' }, said, ' ', button);
}

/** @param {number} bytes */
export function megabytes(bytes) {
  return `${Math.max(0.1, bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0)} MB`;
}
