// @ts-check
/** The coach says what to film; the page turns it into a link. */
import { $, el } from '../app/dom.js';
import { recall, remember } from '../app/memory.js';
import { show } from '../app/screens.js';
import { showTrouble } from '../app/trouble.js';
import { faultLines } from '../result/thresholds.js';
import { CHECKS as WORDS } from '../result/words.js';
import { CHECKS, TEXT_MAX, VIEWS, encodeCheck, newRef } from '../share/check-link.js';
import { linesTrouble } from './check-lines.js';
import { linkBox } from './hand-over.js';
import { OWN_MAX, cards, rememberSent } from './desk-store.js';
import { VIEW_WORDS, dayToday } from './words.js';

/** @typedef {import('../share/check-link.js').Check} Check */

/** @type {Check} */
const USUAL = {
  checks: ['heel_lift_mm', 'knee_in_deg', 'foot_roll_deg', 'forward_pct', 'load_left_pct'],
  views: ['front', 'left'],
  reps: 5,
  load: '',
  thresholds: {},
  cue: '',
  message: '',
  coach: '',
  ref: null,
};

/** @param {string} name @param {string} value @param {string} label @param {boolean} checked */
function tick(name, value, label, checked) {
  return el('label', { class: 'tick' }, el('input', { type: 'checkbox', name, value, checked }), label);
}

/** @param {string} label @param {keyof typeof TEXT_MAX} name @param {string} value @param {string} hint */
function line(label, name, value, hint) {
  return el(
    'label',
    { class: 'field' },
    label,
    el('input', { type: 'text', name, value, maxlength: TEXT_MAX[name], autocomplete: 'off' }),
    hint ? el('small', {}, hint) : null,
  );
}

/** @param {Check} check @param {import('../result/thresholds.js').Lines} usual */
function thresholdFields(check, usual) {
  return el(
    'details',
    { open: Object.keys(check.thresholds).length > 0 },
    el('summary', {}, 'Adjust limits'),
    el(
      'p',
      {},
      'A value beyond a limit counts as a fault. Leave empty to keep the usual limit, which is shown in grey. A changed limit is marked in every result.',
    ),
    el(
      'div',
      { class: 'two-up' },
      ...WORDS.flatMap(({ key, label, unit }) =>
        /** @type {const} */ (['low', 'high']).map((bound) =>
          el(
            'label',
            {},
            `${label}, ${bound === 'low' ? 'lower' : 'upper'} limit, ${unit}`,
            el('input', {
              type: 'number',
              step: 'any',
              name: `${key}.${bound}`,
              value: check.thresholds[key]?.[bound] ?? '',
              placeholder: usual[key]?.[bound] ?? 'none',
            }),
          ),
        ),
      ),
    ),
  );
}

/** @param {HTMLFormElement} form @returns {Check} */
function read(form) {
  const data = new FormData(form);
  const text = (/** @type {string} */ name) => String(data.get(name) ?? '').trim();
  /** @type {Check['thresholds']} */
  const thresholds = {};
  for (const name of CHECKS) {
    for (const bound of /** @type {const} */ (['low', 'high'])) {
      const value = Number.parseFloat(text(`${name}.${bound}`));
      if (Number.isFinite(value)) (thresholds[name] ??= {})[bound] = value;
    }
  }
  return {
    checks: CHECKS.filter((name) => data.getAll('checks').includes(name)),
    views: VIEWS.filter((name) => data.getAll('views').includes(name)),
    reps: Math.min(30, Math.max(1, Math.round(Number(text('reps'))) || USUAL.reps)),
    load: text('load'),
    thresholds,
    cue: text('cue'),
    message: text('message'),
    coach: text('coach'),
    ref: null,
  };
}

/** What was typed and not made into a link yet: it is still there after a wrong turn. */
const DRAFT = 'check-draft';

/** Days until one looks again, unless agreed otherwise. */
const AGAIN_DAYS = 7;
const DAY_MS = 86_400_000;

/** @param {{ start?: Partial<Check> | null, client?: string }} [options] start: what the form begins with, such as the check before; client: whom it is for */
export async function showMakeCheck({ start = null, client = '' } = {}) {
  const [usual, known] = await Promise.all([faultLines(), cards().catch(() => [])]);
  const names = [...new Set(known.map((card) => card.client))].sort((a, b) => a.localeCompare(b));
  const check = { ...USUAL, ...(start ?? /** @type {Partial<Check>} */ (recall(DRAFT, /** @type {object} */ ({})))), coach: recall('coach-name', '') };
  const out = el('div', { id: 'check-link-out' });
  const whose = el('input', { type: 'text', name: 'client', value: client, maxlength: OWN_MAX.client, list: 'client-names', autocomplete: 'off' });
  const again = el('input', { type: 'number', name: 'again', min: 1, max: 90, value: AGAIN_DAYS });
  const form = el(
    'form',
    { class: 'make-check' },
    el(
      'div',
      { class: 'two-up' },
      el(
        'label',
        { class: 'field' },
        'Client',
        whose,
        el('datalist', { id: 'client-names' }, ...names.map((name) => el('option', { value: name }))),
        el('small', {}, 'Stays on this desk: what comes back goes under this name.'),
      ),
      el('label', { class: 'field' }, 'Due in (days)', again, el('small', {}, 'Stays on this desk: then the list says that it is overdue.')),
    ),
    el('fieldset', { class: 'ticks' }, el('legend', {}, 'Camera angles'), ...VIEWS.map((v) => tick('views', v, VIEW_WORDS[v], check.views.includes(v)))),
    el(
      'fieldset',
      { class: 'ticks' },
      el('legend', {}, 'What to look at'),
      ...WORDS.map(({ key, label }) =>
        tick(
          'checks',
          key,
          label,
          check.checks.some((c) => c === key),
        ),
      ),
    ),
    el(
      'div',
      { class: 'two-up' },
      el('label', {}, 'Reps per angle', el('input', { type: 'number', name: 'reps', min: 1, max: 30, value: check.reps })),
      line('Load', 'load', check.load, 'Such as “60 % of your best”.'),
      line('Your name', 'coach', check.coach, 'As the client will read it.'),
    ),
    line('Current cue', 'cue', check.cue, 'Shown before each set.'),
    line('A short message', 'message', check.message, 'No more than two sentences.'),
    thresholdFields(check, usual),
    start ? null : el('p', { class: 'actions' }, el('button', { type: 'submit' }, 'Make the link')),
  );
  let ref = newRef();
  let given = false;
  /** @param {Check} check */
  const store = (check) =>
    rememberSent({
      ref,
      client: whose.value.trim(),
      made: Date.now(),
      due: dayToday(Date.now() + DAY_MS * Math.min(90, Math.max(1, Math.round(Number(again.value)) || AGAIN_DAYS))),
      given,
      check,
    });
  const refuse = (/** @type {string} */ why) => out.replaceChildren(el('p', { class: 'slip', role: 'alert' }, why));
  const make = async () => {
    const made = { ...read(form), ref };
    if (!made.checks.length || !made.views.length) return refuse('Tick at least one camera angle and one thing to look at.');
    const bad = await linesTrouble(made.thresholds);
    if (bad) return refuse(`No link was made: a client could film, but not be judged. ${bad}`);
    remember('coach-name', made.coach);
    remember(DRAFT, {});
    await store(made);
    const onGiven = () => {
      given = true;
      store(made).catch(showTrouble);
    };
    out.replaceChildren(
      el('h2', {}, 'The link'),
      el('p', {}, 'Send it to the client. Everything is in the link itself: no server sees it, and nothing comes back unless the client sends it to you.'),
      linkBox(encodeCheck(made), { title: 'A squat check', qr: 'Point the phone’s camera here to open the check.', onGiven }),
      el(
        'p',
        { class: 'actions' },
        el(
          'button',
          {
            type: 'button',
            class: 'plain',
            id: 'mark-sent',
            onclick: (/** @type {any} */ event) => {
              onGiven();
              event.target.textContent = 'Marked as sent';
            },
          },
          'Mark as sent',
        ),
      ),
    );
  };
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    make().then(() => out.scrollIntoView({ block: 'nearest' }), showTrouble);
  });
  form.addEventListener('input', () => {
    // A link that went out stays what it was: the next one is another check.
    if (given) [ref, given] = [newRef(), false];
    // A link that is shown always says what the form says.
    if (out.childElementCount) make().catch(showTrouble);
    else remember(DRAFT, read(form));
  });
  $('coach').replaceChildren(
    el('h1', { id: 'coach-title', tabindex: '-1' }, start ? `The next check${client ? ` for ${client}` : ''}` : 'A check for a client'),
    ...(start ? [out, el('h2', {}, 'What is in it'), form] : [form, out]),
  );
  show('coach', { source: 'what the coach asks' });
  // A check made from an earlier one is complete: its link is there at once.
  if (start) await make();
}
