// @ts-check
/** The package, loaded once and only when something needs it. */
import * as underfoot from '../pkg/index.js';
import { Trouble } from './trouble.js';

/** @type {Promise<typeof underfoot> | null} */
let loading = null;

/** @returns {Promise<typeof underfoot>} */
export function core() {
  loading ??= underfoot.init().then(
    () => underfoot,
    (/** @type {unknown} */ cause) => {
      loading = null;
      throw new Trouble('The measuring part of this page could not be loaded: load the page again, and if that fails use a current browser.', { cause });
    },
  );
  return loading;
}

/**
 * The set-up fields of a recording from what the lifter said.
 * @param {import('./types.js').Before | null} before
 */
export function setupFrom(before) {
  if (!before) return {};
  const load =
    before.bar_kg || before.body_kg || before.carry !== 'none'
      ? { load: { carry: before.carry, ...(before.bar_kg ? { bar_kg: before.bar_kg } : {}), ...(before.body_kg ? { body_kg: before.body_kg } : {}) } }
      : {};
  return { ...(before.height_m ? { lifter: { height_m: before.height_m } } : {}), ...load, ...(before.footwear ? { footwear: before.footwear } : {}) };
}
