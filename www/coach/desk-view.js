// @ts-check
/** The coach's desk: the clients at a glance, what came and what is waited for. */
import { $, announce, el } from '../app/dom.js';
import { recall, remember } from '../app/memory.js';
import { show } from '../app/screens.js';
import { sentence, showTrouble } from '../app/trouble.js';
import { showClient } from './client-view.js';
import { exportDesk, takeFile } from './desk-file.js';
import { discardAll, forgetSent, newest, wholeDesk } from './desk-store.js';
import { judgeAll } from './judged.js';
import { showMakeCheck } from './make-check.js';
import { dayToday, dayWords, findingWords, shortDay } from './words.js';

/** @typedef {import('./desk-store.js').DeskCard} DeskCard */
/** @typedef {import('./desk-store.js').SentCheck} SentCheck */

/** @param {() => Promise<unknown>} act @returns {() => void} */
export const guarded = (act) => () => {
  act().catch(showTrouble);
};

/** @param {number} n */
const results = (n) => `${n} ${n === 1 ? 'result' : 'results'}`;

/** Each once, with how often. @param {string[]} sentences */
function counted(sentences) {
  const times = new Map();
  for (const s of sentences) times.set(s, (times.get(s) ?? 0) + 1);
  return [...times].map(([s, n]) => (n > 1 ? `${s} (${n} times)` : s));
}

/** Most names in one sentence. */
const NAMES = 6;

/** @param {string[]} names */
function listed(names) {
  const each = [...new Set(names)];
  return each.length > NAMES ? `${each.slice(0, NAMES).join(', ')} and ${each.length - NAMES} more` : each.join(', ');
}

/**
 * Takes result and desk files in, several at once; a bad one does not keep the others out.
 * @param {File[]} files
 */
export async function takeIn(files) {
  /** @type {string[]} */
  const refused = [];
  /** @type {import('./desk-file.js').Counts} */
  const sum = { added: [], known: 0, bad: [], doubts: [] };
  await showDesk('Opening…');
  const say = $('desk-said');
  for (const [i, file] of files.entries()) {
    if (files.length > 1) say.textContent = `Opening ${i + 1} of ${files.length}…`;
    try {
      const counts = await takeFile(file, (done, all) => {
        say.textContent = `Opening ${file.name}: ${done + 1} of ${results(all)}…`;
      });
      sum.added.push(...counts.added);
      sum.known += counts.known;
      sum.doubts.push(...counts.doubts);
      refused.push(...counted(counts.bad).map((why) => `${file.name}: ${why}`));
    } catch (error) {
      refused.push(`${file.name}: ${sentence(error)}`);
    }
  }
  const said = [
    sum.added.length ? `Added ${results(sum.added.length)}: ${listed(sum.added)}.` : sum.known ? '' : 'No result was added.',
    sum.known ? `${results(sum.known)} ${sum.known === 1 ? 'was' : 'were'} already on the desk.` : '',
  ]
    .filter(Boolean)
    .join(' ');
  await showDesk([said, ...refused, ...new Set(sum.doubts)].join('\n'));
}

/**
 * @typedef {object} Row one client
 * @property {string} name
 * @property {DeskCard[]} cards oldest first
 * @property {SentCheck[]} waiting checks that went out and were not answered, oldest first
 * @property {number} fresh results that came since one of theirs was looked at
 * @property {boolean} archived
 * @property {number} last when the last thing happened, ms
 */

/** @param {Awaited<ReturnType<typeof wholeDesk>>} desk @returns {Row[]} */
export function clientRows({ cards, clients, sent }) {
  const answered = new Set(cards.map((card) => card.ref));
  /** @type {Map<string, Row>} */
  const rows = new Map();
  const row = (/** @type {string} */ name) => {
    const known = rows.get(name);
    if (known) return known;
    const made = { name, cards: [], waiting: [], fresh: 0, archived: clients.get(name)?.archived ?? false, last: 0 };
    rows.set(name, made);
    return made;
  };
  for (const card of cards) {
    const one = row(card.client);
    one.cards.push(card);
    if (card.taken > (clients.get(card.client)?.seen ?? 0) && !card.again) one.fresh += 1;
    one.last = Math.max(one.last, card.taken);
  }
  for (const check of [...sent.values()].sort((a, b) => a.made - b.made)) {
    if (!check.client || !check.given) continue;
    const one = row(check.client);
    if (!answered.has(check.ref)) one.waiting.push(check);
    one.last = Math.max(one.last, check.made);
  }
  return [...rows.values()];
}

/** @type {Record<string, [string, (a: Row, b: Row) => number]>} */
const SORTS = {
  // Whoever said that something hurts, and was not looked at since, stands before the others.
  newest: ['Newest first', (a, b) => Number(urgent(b)) - Number(urgent(a)) || b.last - a.last || a.name.localeCompare(b.name)],
  overdue: ['Overdue first', (a, b) => (dueOf(a) || '9').localeCompare(dueOf(b) || '9') || b.last - a.last],
  name: ['By name', (a, b) => a.name.localeCompare(b.name)],
};

/** @param {Row} row */
function urgent({ cards, fresh }) {
  return fresh > 0 && cards.slice(-fresh).some((card) => card.hurts);
}

/** The day by which the first check that is waited for should have come, or ''. @param {Row} row */
function dueOf(row) {
  return row.waiting.map((check) => check.due).sort()[0] ?? '';
}

/** @param {string} [said] lines */
export async function showDesk(said = '') {
  const desk = await wholeDesk();
  const rows = clientRows(desk);
  // No list of endings: phones offer files of an unknown kind only to a picker that takes any.
  const pick = el('input', { type: 'file', id: 'pick-results', multiple: true, hidden: true });
  pick.addEventListener(
    'change',
    guarded(() => takeIn([...(pick.files ?? [])])),
  );
  const list = el('ul', { id: 'clients', 'aria-label': 'Clients' });
  const empty = el('p', { role: 'status', id: 'none-found' });
  const archived = rows.filter((row) => row.archived).length;
  const search = el('input', { type: 'search', id: 'client-search', 'aria-label': 'Find a client', placeholder: 'Find a client', autocomplete: 'off' });
  const sort = el(
    'select',
    { id: 'client-sort', 'aria-label': 'Order' },
    ...Object.entries(SORTS).map(([key, [label]]) => el('option', { value: key, selected: key === recall('desk-sort', 'newest') }, label)),
  );
  const old = el('input', { type: 'checkbox', id: 'show-archived' });
  /** @type {Map<string, HTMLElement>} by client */
  const shown = new Map();
  const draw = () => {
    const wanted = search.value.trim().toLocaleLowerCase();
    const [, order] = SORTS[sort.value] ?? SORTS.newest;
    const found = rows.filter((row) => (old.checked || !row.archived || wanted) && row.name.toLocaleLowerCase().includes(wanted)).sort(order);
    shown.clear();
    for (const row of found) shown.set(row.name, clientRow(row));
    list.replaceChildren(...shown.values());
    empty.textContent = rows.length && !found.length ? 'No client of that name.' : '';
  };
  for (const input of [search, old]) input.addEventListener('input', draw);
  sort.addEventListener('change', () => {
    remember('desk-sort', sort.value);
    draw();
  });
  draw();
  $('coach').replaceChildren(
    el('h1', { id: 'coach-title', tabindex: '-1' }, 'Coach’s desk'),
    el('p', {}, 'Make a check, send the link, and open what comes back here. Everything stays in this browser.'),
    el('p', { role: 'status', id: 'desk-said' }, said),
    el(
      'p',
      { class: 'actions' },
      el('button', { type: 'button', id: 'desk-make', onclick: guarded(() => showMakeCheck()) }, 'Make a check'),
      el('button', { type: 'button', class: 'plain', onclick: () => pick.click() }, 'Open results'),
      pick,
      el(
        'button',
        {
          type: 'button',
          class: 'plain',
          id: 'desk-paste',
          onclick: () => {
            paste.hidden = !paste.hidden;
            if (!paste.hidden) $('pasted-result').focus();
          },
        },
        'Paste a result',
      ),
    ),
    paste,
    rows.length
      ? el('div', { class: 'desk-tools' }, search, sort, archived ? el('label', { class: 'tick' }, old, `Show ${archived} archived`) : null)
      : el('p', { class: 'slip' }, 'No results yet. Clients send you files that end in .underfoot: open them here, or drop several at once on this page.'),
    list,
    empty,
    unnamed(desk),
    rows.length
      ? el(
          'p',
          { class: 'actions desk-all' },
          el('button', { type: 'button', class: 'plain', id: 'desk-export', onclick: guarded(exportDesk) }, 'Export all as one file'),
          el('button', { type: 'button', class: 'plain', id: 'desk-clear', onclick: guarded(clear) }, 'Delete everything on the desk'),
        )
      : '',
  );
  paste.hidden = true;
  show('coach', { source: 'clients’ results' });
  if (said) announce(said);
  // Goes on behind what is on screen.
  judgeAll(
    desk.cards,
    desk.sent,
    (card) => {
      const row = rows.find((r) => r.name === card.client);
      if (row && shown.has(row.name)) shown.get(row.name)?.querySelector('.shown')?.replaceWith(whatItShowed(row));
    },
    () => list.isConnected,
  ).catch(showTrouble);
}

/** A result as text, or a summary link. */
const paste = (() => {
  const text = el('textarea', { id: 'pasted-result', rows: 4, autocomplete: 'off', spellcheck: 'false' });
  const form = el(
    'form',
    { class: 'paste-link' },
    el('label', { class: 'field' }, 'The message with a result in it', text),
    el('p', { class: 'actions' }, el('button', { type: 'submit' }, 'Add it')),
  );
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    const file = new File([text.value], 'The pasted text');
    text.value = '';
    guarded(() => takeIn([file]))();
  });
  return form;
})();

/** @param {Row} row */
function clientRow(row) {
  const { name, cards, waiting, fresh } = row;
  const last = cards.length ? newest(cards) : null;
  const pain = last?.hurts;
  return el(
    'li',
    { class: 'client' },
    el('h2', {}, el('button', { type: 'button', class: 'plain', onclick: guarded(() => showClient(name)) }, name)),
    el(
      'p',
      { class: 'marks-of' },
      pain ? el('b', { class: 'pain' }, 'Something hurts') : null,
      fresh ? el('b', { class: 'fresh' }, `${fresh} new`) : null,
      row.archived ? el('span', {}, 'archived') : null,
      last ? el('span', {}, `${shortDay(last.day)}, ${results(cards.filter((card) => !card.again).length)}`) : null,
    ),
    whatItShowed(row),
    waiting.length ? el('p', { class: 'waits' }, ...waiting.map(waits)) : null,
  );
}

/** The finding now, against the one before. @param {Row} row */
function whatItShowed({ cards }) {
  const counted = cards.filter((card) => !card.again);
  const [now, before] = [counted.at(-1), counted.at(-2)];
  const [is, was] = [now, before].map((card) => (card ? said(card) : ''));
  return el('p', { class: 'shown' }, is || 'No result yet.', was ? el('small', {}, was === is ? 'Before: the same' : `Before: ${was}`) : null);
}

/** @param {DeskCard} card */
function said(card) {
  if (!card.brief) return 'Working it out…';
  const found = card.brief.findings.map(({ kind, side }) => findingWords(kind, side));
  return `${[...new Set(found)].join('; ') || 'no set in it'}${card.kind === 'link' ? ' (the client’s summary)' : ''}`;
}

/** @param {SentCheck} check */
function waits(check) {
  const today = dayToday();
  const late = Math.round((Date.parse(today) - Date.parse(check.due)) / 86_400_000);
  return el(
    'span',
    { class: late > 0 ? 'late' : '' },
    late > 0 ? `Overdue by ${late} ${late === 1 ? 'day' : 'days'}: ` : 'Waiting for: ',
    `the check of ${shortDay(dayToday(check.made))}${late > 0 ? '' : `, due ${shortDay(check.due)}`}`,
  );
}

/** Checks that went out without a client's name. @param {Awaited<ReturnType<typeof wholeDesk>>} desk */
function unnamed({ cards, sent }) {
  const open = [...sent.values()].filter((check) => check.given && !check.client);
  if (!open.length) return '';
  return el(
    'section',
    { id: 'unnamed-checks' },
    el('h2', {}, 'Checks without a client’s name'),
    el(
      'ul',
      {},
      ...open
        .sort((a, b) => b.made - a.made)
        .map((check) => {
          const came = cards.filter((card) => card.ref === check.ref);
          return el(
            'li',
            {},
            `${dayWords(dayToday(check.made))}: ${came.length ? `${results(came.length)} came, from ${listed(came.map((card) => card.client))}` : 'nothing came yet'}. `,
            el(
              'button',
              {
                type: 'button',
                class: 'plain',
                onclick: guarded(async () => {
                  await forgetSent(check.ref);
                  await showDesk();
                }),
              },
              'Take it off the list',
            ),
          );
        }),
    ),
  );
}

async function clear() {
  const { cards } = await wholeDesk();
  if (
    !window.confirm(
      `Delete everything on the desk: ${results(cards.length)}, your notes and cues? It can’t be brought back. Export it first if you may want it again.`,
    )
  )
    return;
  await discardAll();
  await showDesk('The desk is empty.');
}
