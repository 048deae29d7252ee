// @ts-check
/** A set that is saved on this device, measured and shown again. */
import { Trouble } from '../app/trouble.js';
import { measure, present, recentFilm } from '../flows/finish.js';
import { cardOf, filmOf, keypoints } from './store.js';

/** @param {string} id */
export async function openSet(id) {
  const card = await cardOf(id);
  if (!card) throw new Trouble('This set is not saved on this device: it was deleted, or its link was made on another device.');
  const recording = await keypoints(id);
  const film = card.film_bytes === undefined ? recentFilm(id) : await filmOf(id);
  const { hurts, thresholds = {}, source, name, made, filmed, note } = card;
  const set = await measure({ recording, hurts, thresholds, source, name });
  await present({ ...set, id, made, ...(filmed ? { filmed } : {}), ...(note ? { note } : {}) }, { kept: true, film, filmKept: card.film_bytes !== undefined });
}
