// @ts-check
/** Light, dark, or as the device says; remembered. */
import { $ } from './dom.js';
import { recall, remember } from './memory.js';

const ORDER = ['', 'light', 'dark'];
const WORDS = ['auto', 'light', 'dark'];

/** @param {string} theme */
function apply(theme) {
  const i = Math.max(0, ORDER.indexOf(theme));
  if (ORDER[i]) document.documentElement.dataset.theme = ORDER[i];
  else delete document.documentElement.dataset.theme;
  $('theme-now').textContent = WORDS[i];
  document.dispatchEvent(new Event('theme'));
}

export function startTheme() {
  apply(recall('theme', ''));
  $('theme').addEventListener('click', () => {
    const next = ORDER[(ORDER.indexOf(recall('theme', '')) + 1) % ORDER.length];
    remember('theme', next);
    apply(next);
  });
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => document.dispatchEvent(new Event('theme')));
}
