// @ts-check
/** What was said about a set: the day it was filmed, load, footwear. */
import { weightWords } from '../app/units.js';

/** @type {Record<string, string>} */
const CARRIED = { back: 'bar on the back', front: 'bar on the front', overhead: 'bar overhead', goblet: 'weight at the chest', none: 'no load' };
/** @type {Record<string, string>} */
const SHOES = { barefoot: 'bare feet or socks', flat: 'flat shoes', 'raised-heel': 'raised-heel shoes' };

/** When the set was filmed: a video may be older than its result. @param {{ made: string, filmed?: string }} set */
export function filmedAt({ made, filmed }) {
  return filmed ?? made;
}

/** @param {{ load?: any, footwear?: any }} recording its set-up @returns {string[]} load and footwear, without what was not said */
export function loadWords({ load, footwear }) {
  const weight = load?.bar_kg ? weightWords(load.bar_kg) : '';
  return [[weight, CARRIED[load?.carry] ?? ''].filter(Boolean).join(', '), SHOES[footwear] ?? ''].filter(Boolean);
}

/** @param {import('../app/types.js').KeptSet} set @returns {string[]} */
export function setFacts(set) {
  const day = new Date(filmedAt(set));
  return [Number.isNaN(day.getTime()) ? '' : day.toLocaleDateString(undefined, { dateStyle: 'medium' }), ...loadWords(set.recording)];
}
