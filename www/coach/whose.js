// @ts-check
/** Whose a result is. A file says who it is from; it is never simply believed. */
import { heightWords } from '../app/units.js';
import { dayToday, dayWords } from './words.js';

/** @typedef {import('./desk-store.js').DeskCard} DeskCard */
/** @typedef {import('./desk-store.js').SentCheck} SentCheck */

/** Heights this much apart, m, are not one person's typed twice. */
const OTHER_HEIGHT = 0.03;
/** A file may be from where it is tomorrow already, ms. */
const AHEAD = 36 * 3_600_000;

/** One name however it is written. @param {string} name */
export function fold(name) {
  return name.normalize('NFKC').toLocaleLowerCase().replace(/\s+/g, ' ').trim();
}

/** @param {DeskCard[]} list @returns {DeskCard} */
export function newest(list) {
  return /** @type {DeskCard} */ (list.at(-1));
}

/**
 * Gives a new card its client and its day.
 * @param {DeskCard} card
 * @param {DeskCard[]} all on the desk
 * @param {SentCheck | undefined} sent the check that it answers, if that was made here
 * @param {string} coach the coach's own name
 * @returns {string[]} what to look at, in sentences
 */
export function ownerOf(card, all, sent, coach) {
  const doubts = [];
  const same = all.find((other) => !other.again && card.prints.length > 0 && card.prints.every((print) => other.prints.includes(print)));
  if (same) {
    card.again = same.id;
    card.client = same.client;
    return [`${same.client} sent the same sets before (${dayWords(same.day)}): they are counted once.`];
  }
  if (card.day > dayToday(card.taken + AHEAD)) {
    doubts.push(`A result from ${card.client} says that it was filmed on ${card.day}, which is still to come: it is filed under today.`);
    card.day = dayToday(card.taken);
  }
  if (card.coach && !sent && card.coach !== coach)
    doubts.push(`A result from ${card.client} answers a check from ${card.coach}, which was not made on this desk.`);
  const key = fold(card.nickname);
  const earlier = sent?.client
    ? all.filter((other) => other.client === sent.client)
    : key
      ? all.filter((other) => fold(other.nickname) === key || fold(other.client) === key)
      : [];
  const names = [...new Set(sent?.client ? [sent.client] : earlier.map((other) => other.client))];
  if (names.length > 1) doubts.push(`More than one client writes “${card.nickname}” (${names.join(', ')}): open the new result and choose the client.`);
  if (names.length !== 1) return doubts;
  [card.client] = names;
  const height = [...earlier]
    .sort((a, b) => a.taken - b.taken)
    .map((other) => other.height_m)
    .findLast((h) => h);
  if (height && card.height_m && Math.abs(height - card.height_m) >= OTHER_HEIGHT) {
    doubts.push(
      `“${card.nickname || card.client}” is ${heightWords(card.height_m)} tall in the new result and was ${heightWords(height)} before: if it is somebody else, open it and choose the client.`,
    );
  }
  return doubts;
}
