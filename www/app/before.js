// @ts-check
/** The questions before a set: what hurts first, then what helps the measuring. */
import { $, el } from './dom.js';
import { recall, remember } from './memory.js';
import { feetAndInches, fromFeet, fromKg, toKg, units } from './units.js';

const CARRIES = /** @type {const} */ ([
  ['none', 'No load'],
  ['back', 'Bar on the back'],
  ['front', 'Bar on the front'],
  ['overhead', 'Bar overhead'],
  ['goblet', 'Weight at the chest'],
]);
const SHOES = /** @type {const} */ ([
  ['', 'Not stated'],
  ['barefoot', 'Bare feet or socks'],
  ['flat', 'Flat shoes'],
  ['raised-heel', 'Raised-heel shoes'],
]);

/** @typedef {import('./types.js').Before} Before */

/** @type {Before} */
const NOTHING = { name: '', height_m: null, bar_kg: null, body_kg: null, carry: 'none', footwear: '', hurts: false };

/**
 * @param {string} label
 * @param {Node} input
 * @param {string} [small]
 */
function field(label, input, small) {
  return el('label', {}, label, input, small ? el('small', {}, small) : null);
}

/** @param {string} name @param {readonly (readonly [string, string])[]} options @param {string} chosen */
function choice(name, options, chosen) {
  return el('select', { name }, ...options.map(([value, text]) => el('option', { value, selected: value === chosen }, text)));
}

/** @typedef {import('./units.js').Units} Units */

/** @param {string} name @param {number | null} value @param {number} min @param {number} max */
function amount(name, value, min, max) {
  return el('input', { type: 'number', name, min, max, step: 'any', inputmode: 'decimal', value: value ?? '' });
}

/** @param {string} name @param {number | null} kg @param {number} min kg @param {number} max kg @param {Units} of */
function weight(name, kg, min, max, of) {
  return amount(name, kg && fromKg(kg, of), Math.floor(fromKg(min, of)), Math.ceil(fromKg(max, of)));
}

/** @param {number | null} height_m @param {Units} of */
function heightField(height_m, of) {
  const hint = 'Optional; improves accuracy.';
  if (of === 'metric') return field('Your height (cm)', amount('height', height_m && Math.round(height_m * 1000) / 10, 80, 260), hint);
  const { feet, inches } = height_m ? feetAndInches(height_m) : { feet: null, inches: null };
  const part = (/** @type {string} */ name, /** @type {number | null} */ value, /** @type {number} */ max, /** @type {string} */ unit) => {
    const input = amount(name, value, 0, max);
    input.setAttribute('aria-label', `Your height, ${unit}`);
    return el('span', {}, input, ` ${unit}`);
  };
  return el(
    'div',
    { class: 'field' },
    'Your height',
    el('span', { class: 'feet-inches' }, part('feet', feet, 8, 'feet'), part('inches', inches, 11.9, 'inches')),
    el('small', {}, hint),
  );
}

/** What the form says of body and load, in metres and kilograms. @param {FormData} data @param {Units} of */
function sizesIn(data, of) {
  const [height, feet, inches] = ['height', 'feet', 'inches'].map((name) => numberIn(data, name));
  const kilograms = (/** @type {string} */ name) => {
    const value = numberIn(data, name);
    return value && toKg(value, of);
  };
  return { height_m: of === 'metric' ? height && height / 100 : feet && fromFeet(feet, inches ?? 0), bar_kg: kilograms('bar'), body_kg: kilograms('body') };
}

/** Fields whose units the reader may change; what was typed is converted. @param {Before} kept */
function sizes(kept) {
  let of = units();
  const root = el('div', { class: 'two-up sizes' });
  const now = () => ({ ...kept, ...sizesIn(new FormData(/** @type {HTMLFormElement} */ (root.closest('form'))), of) });
  const draw = (/** @type {{ height_m: number | null, bar_kg: number | null, body_kg: number | null }} */ values) => {
    const unit = of === 'metric' ? 'kg' : 'lb';
    const choose = choice(
      'units',
      [
        ['metric', 'cm and kg'],
        ['imperial', 'feet and lb'],
      ],
      of,
    );
    choose.addEventListener('change', () => {
      const typed = now();
      of = /** @type {Units} */ (choose.value);
      remember('units', of);
      draw(typed);
      root.querySelector('select')?.focus();
    });
    root.replaceChildren(
      heightField(values.height_m, of),
      field(`Your weight (${unit})`, weight('body', values.body_kg, 20, 300, of), 'Optional; to estimate balance.'),
      field(`Load (${unit})`, weight('bar', values.bar_kg, 0, 600, of)),
      field('Units', choose),
    );
  };
  draw(kept);
  return { root, read: () => now() };
}

/** @param {FormData} data @param {string} name */
function numberIn(data, name) {
  const value = Number.parseFloat(String(data.get(name) ?? ''));
  return Number.isFinite(value) && value > 0 ? value : null;
}

/** Choices that few need: which model, and what it runs on. */
function estimatorSettings() {
  const kept = (/** @type {string} */ key) => recall(key, '');
  const pick = (/** @type {string} */ key, /** @type {readonly (readonly [string, string])[]} */ options) => {
    const select = choice(key, options, kept(key));
    select.addEventListener('change', () => remember(key, select.value));
    return select;
  };
  return el(
    'details',
    {},
    el('summary', {}, 'Pose estimator'),
    el(
      'div',
      { class: 'two-up' },
      field(
        'Model',
        pick('estimator-model', [
          ['', 'Full (more accurate)'],
          ['lite', 'Lite (faster)'],
        ]),
      ),
      field(
        'Runs on',
        pick('estimator-on', [
          ['', 'Whatever suits this device'],
          ['graphics', 'Graphics chip'],
          ['processor', 'Processor'],
        ]),
        'Change it if frames take very long.',
      ),
    ),
  );
}

function pain() {
  return el(
    'div',
    { class: 'slip', role: 'alert' },
    el('h3', {}, 'Before you go on'),
    el(
      'p',
      {},
      'Pain, numbness, swelling, or a foot that looks different at rest is a reason to stop and see a licensed clinician. This page can’t tell what is wrong and can’t clear you to lift.',
    ),
    el('p', {}, 'If a clinician has already looked at it and told you to go on, you may. This advice stays at the top of your result.'),
  );
}

/** @param {Before} kept @param {string} go @param {boolean} withEstimator @param {ReturnType<typeof sizes>} size */
function form(kept, go, withEstimator, size) {
  const advice = el('div', { id: 'before-advice' });
  const start = el('button', { type: 'submit' }, go);
  const hurts = (/** @type {Event} */ event) => {
    const yes = /** @type {HTMLInputElement} */ (event.target).value === 'yes';
    advice.replaceChildren(...(yes ? [pain()] : []));
    start.textContent = yes ? 'A clinician has cleared me: go on' : go;
  };
  const answer = (/** @type {string} */ value, /** @type {string} */ text) =>
    el('label', { class: 'tick' }, el('input', { type: 'radio', name: 'hurts', value, required: true, onchange: hurts }), text);
  return el(
    'form',
    { method: 'dialog' },
    el('h2', { id: 'before-title' }, 'Before the set'),
    el('fieldset', {}, el('legend', {}, 'Does anything hurt?'), answer('no', 'No'), answer('yes', 'Yes'), advice),
    size.root,
    el(
      'div',
      { class: 'two-up' },
      field(
        'Lifter’s name',
        el('input', { type: 'text', name: 'name', maxlength: 40, value: kept.name, autocomplete: 'off' }),
        'Optional; stays on this device.',
      ),
      field('Footwear', choice('footwear', SHOES, kept.footwear), 'Shoes hide much of the foot.'),
      field('Type of load', choice('carry', CARRIES, kept.carry)),
    ),
    withEstimator ? estimatorSettings() : null,
    el('p', {}, 'Safeties set, a spotter if it is heavy, and no looking at the screen while lifting.'),
    el('p', { class: 'actions' }, start, el('button', { type: 'button', class: 'plain', value: 'back', onclick: () => dialog().close('back') }, 'Cancel')),
  );
}

/** @returns {HTMLDialogElement} */
function dialog() {
  return $('before');
}

/**
 * Asks, remembers everything but the pain (asked anew for each set), and answers null on Back.
 * @param {string} go the button's words
 * @param {{ withEstimator?: boolean }} [options] whether a picture will be read
 * @returns {Promise<Before | null>}
 */
export function askBefore(go, { withEstimator = false } = {}) {
  const box = dialog();
  const kept = recall('before', NOTHING);
  const size = sizes(kept);
  const view = form(kept, go, withEstimator, size);
  box.replaceChildren(view);
  box.returnValue = '';
  box.showModal();
  return new Promise((resolve) => {
    /** @type {Before | null} */
    let answer = null;
    view.addEventListener('submit', () => {
      const data = new FormData(view);
      const { height_m, bar_kg, body_kg } = size.read();
      answer = {
        name: String(data.get('name') ?? '').trim(),
        height_m,
        bar_kg,
        body_kg,
        carry: /** @type {Before['carry']} */ (data.get('carry')),
        footwear: /** @type {Before['footwear']} */ (data.get('footwear')),
        hurts: data.get('hurts') === 'yes',
      };
      remember('before', { ...answer, hurts: false });
    });
    box.addEventListener('close', () => resolve(answer), { once: true });
  });
}
