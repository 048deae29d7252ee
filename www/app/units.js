// @ts-check
/** Heights and loads as the reader says them; the recording itself is in metres and kilograms. */
import { recall } from './memory.js';

/** Exact by definition: the international pound and inch of 1959. */
const KG_PER_LB = 0.45359237;
const M_PER_IN = 0.0254;

/** @typedef {'metric' | 'imperial'} Units */

/** @returns {Units} what was chosen; else what is usual where the reader's language is spoken */
export function units() {
  const chosen = recall('units', '');
  if (chosen === 'metric' || chosen === 'imperial') return chosen;
  return /^en-(US|LR)$/.test(navigator.language) ? 'imperial' : 'metric';
}

/** @param {number} kg */
export function weightWords(kg) {
  return units() === 'imperial' ? `${Math.round(kg / KG_PER_LB)} lb` : `${round(kg)} kg`;
}

/** @param {number} m */
export function heightWords(m) {
  const { feet, inches } = feetAndInches(m);
  return units() === 'imperial' ? `${feet} ft ${inches} in` : `${Math.round(100 * m)} cm`;
}

/** A weight in the reader's units to kg. @param {number} value @param {Units} of */
export function toKg(value, of) {
  return of === 'imperial' ? value * KG_PER_LB : value;
}

/** @param {number} kg @param {Units} of */
export function fromKg(kg, of) {
  return of === 'imperial' ? round(kg / KG_PER_LB) : round(kg);
}

/** @param {number} m */
export function feetAndInches(m) {
  const inches = Math.round((m / M_PER_IN) * 2) / 2;
  return { feet: Math.floor(inches / 12), inches: inches % 12 };
}

/** @param {number} feet @param {number} inches */
export function fromFeet(feet, inches) {
  return (12 * feet + inches) * M_PER_IN;
}

/** To a tenth, since half-kilogram plates exist. @param {number} value */
function round(value) {
  return Math.round(value * 10) / 10;
}
