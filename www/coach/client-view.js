// @ts-check
/** One client: the newest result first, numbers computed again, replay, own words, what changed over the weeks. */
import { $, el } from '../app/dom.js';
import { analyze } from '../app/measurer.js';
import { saveAs } from '../app/save-as.js';
import { show } from '../app/screens.js';
import { sentence, showTrouble } from '../app/trouble.js';
import { heightWords } from '../app/units.js';
import { adviceCard, cueCard } from '../result/cue-card.js';
import { loadWords } from '../result/set-facts.js';
import { repTable } from '../result/rep-table.js';
import { showResult } from '../result/result-view.js';
import { CHECKS, viewWords } from '../result/words.js';
import { fileName } from '../share/file-name.js';
import { readLink } from '../share/find-link.js';
import { FILE_SUFFIX } from '../share/result-file.js';
import {
  NO_NAME,
  OWN_MAX,
  asItCame,
  change,
  changeClient,
  discard,
  discardClient,
  fold,
  forgetSent,
  newest,
  renameClient,
  resultOf,
  wholeDesk,
} from './desk-store.js';
import { clientRows, guarded, showDesk } from './desk-view.js';
import { judge } from './judged.js';
import { showMakeCheck } from './make-check.js';
import { painNotice } from './pain.js';
import { summaryParts } from './summary-view.js';
import { trendParts } from './trend-table.js';
import { VIEW_WORDS, dayToday, dayWords, otherThanAsked, shortDay } from './words.js';

/** @typedef {import('./desk-store.js').DeskCard} DeskCard */
/** @typedef {import('./desk-store.js').SentCheck} SentCheck */
/** @typedef {import('./desk-store.js').SentResult} SentResult */
/** @typedef {import('./judged.js').JudgedSet} JudgedSet */

/** What is typed is stored after so long without a key. */
const TYPING_MS = 600;

/** @param {string} name @param {string} [id] which result; the newest when left out */
export async function showClient(name, id) {
  const desk = await wholeDesk();
  const row = clientRows(desk).find((r) => r.name === name);
  if (!row) return showDesk(`${name} is no longer on the desk.`);
  const history = row.cards;
  const card = history.find((one) => one.id === id) ?? newest(history.filter((one) => !one.again)) ?? history[0];
  const again = guarded(() => showClient(name, card?.id));
  const check = checkOf(card, history, desk.sent);
  const weeks = el('section', { id: 'weeks' }, el('h2', {}, 'Over the weeks'), el('p', { role: 'status' }, 'Working it out…'));
  const body = el('div', { id: 'one-result' }, el('p', { role: 'status' }, 'Working it out…'));
  $('coach').replaceChildren(
    el('h1', { id: 'coach-title', tabindex: '-1' }, card ? `${name}, ${dayWords(card.day)}` : name),
    card ? painNotice([card.hurts]) : '',
    el(
      'p',
      { class: 'actions' },
      el(
        'button',
        {
          type: 'button',
          id: 'next-check',
          onclick: guarded(() => showMakeCheck({ client: name, start: { ...(check ?? {}), cue: card?.cue ?? '', message: '' } })),
        },
        'Make the next check',
      ),
      el('button', { type: 'button', class: 'plain', onclick: guarded(() => showDesk()) }, 'Back to the desk'),
    ),
    history.length > 1
      ? el(
          'nav',
          { class: 'weeks-nav', 'aria-label': 'Results' },
          ...[...history]
            .reverse()
            .map((one) =>
              el(
                'button',
                { type: 'button', class: 'plain', 'aria-current': one === card ? 'true' : null, onclick: guarded(() => showClient(name, one.id)) },
                `${shortDay(one.day)}${one.again ? ' (again)' : ''}${one.hurts ? ' (hurts)' : ''}`,
              ),
            ),
        )
      : '',
    ...row.waiting.map((sent) =>
      el(
        'p',
        { class: 'slip waits' },
        `Waiting for the check of ${dayWords(dayToday(sent.made))}: ${sent.check.views.map((view) => VIEW_WORDS[view].toLowerCase()).join(', ')}; due ${dayWords(sent.due)}. `,
        el(
          'button',
          {
            type: 'button',
            class: 'plain',
            onclick: guarded(async () => {
              await forgetSent(sent.ref);
              await showClient(name, card?.id);
            }),
          },
          'Take it off the list',
        ),
      ),
    ),
    body,
    card ? weeks : '',
    manage(name, row.archived, card, history),
  );
  show('coach', { source: `${name}’s results` });
  await changeClient(name, { seen: Date.now() });
  if (!card) return body.replaceChildren(el('p', { class: 'slip' }, 'No result yet.'));
  try {
    body.replaceChildren(...(card.kind === 'link' ? await linkParts(card) : await fileParts(card, desk.sent, again)));
  } catch (error) {
    body.replaceChildren(el('p', { class: 'slip', role: 'alert' }, `This result can’t be opened. ${sentence(error)} It can be saved as it came, or deleted.`));
  }
  // What came last does not wait for the weeks before it.
  const only = check?.checks;
  weeks.replaceChildren(...(await trendParts(history, desk.sent, only, () => weeks.isConnected)));
  for (const scroll of weeks.querySelectorAll('.table-scroll')) scroll.scrollLeft = scroll.scrollWidth;
}

/** The coach's own check that a result answers, or the last one that they made for this client: nothing that came in a file. @param {DeskCard | undefined} card @param {DeskCard[]} history @param {Map<number, SentCheck>} sent */
function checkOf(card, history, sent) {
  const refs = [card, ...[...history].reverse()].map((one) => one?.ref ?? -1);
  return refs.map((ref) => sent.get(ref)?.check).find(Boolean);
}

/** @param {DeskCard} card @returns {Promise<(Node | string)[]>} */
async function linkParts(card) {
  const link = readLink(new TextDecoder().decode(await asItCame(card)));
  if (link.kind !== 'result') return [];
  // The notice of pain is on the page already.
  return [ownWords(card, '', () => {}), ...summaryParts(link.summary).slice(1)];
}

/** @param {DeskCard} card @param {Map<number, SentCheck>} sent @param {() => void} again shows this result @returns {Promise<(Node | string)[]>} */
async function fileParts(card, sent, again) {
  const [result, { sets }] = await Promise.all([resultOf(card), judge(card, sent)]);
  const own = card.ref === null ? undefined : sent.get(card.ref)?.check;
  const check = own ?? result.check;
  // Who is in pain gets no cue from here; the coach may still write one.
  const tool = card.hurts ? '' : (sets[0]?.report.cue.text ?? '');
  const missing = (check?.views ?? []).filter((view) => !sets.some((set) => set.wanted === view));
  return [
    result.sets.some((set) => set.hurts === null) ? painNotice([null]) : '',
    result.check && !own ? stranger(card, result, again) : '',
    card.again ? el('p', { class: 'slip' }, 'The same sets were sent before: they are counted once.') : '',
    result.note ? el('p', { class: 'slip client-note' }, `${card.client} writes: ${result.note}`) : '',
    ownWords(card, tool, () => {
      if (sets[0]) $('cue-to-give').replaceWith(cueToGive(card, sets[0].report));
    }),
    sets[0] ? cueToGive(card, sets[0].report) : '',
    askedAndCame(check, own !== undefined, result, sets),
    missing.length ? el('p', { class: 'slip' }, `Asked for and not in it: ${missing.map((view) => VIEW_WORDS[view].toLowerCase()).join(', ')}.`) : '',
    ...sets.map((judged, i) => setSection(card, result, result.sets[i], judged, check, again)),
  ];
}

/** A check that was not made on this desk. @param {DeskCard} card @param {SentResult} result @param {() => void} again */
function stranger(card, result, again) {
  const name = result.check?.coach || 'another coach';
  if (card.own) return el('p', { class: 'hint' }, 'It answers a check that you made elsewhere.');
  return el(
    'div',
    { class: 'slip', id: 'other-coach' },
    el(
      'p',
      {},
      `It answers a check from ${name}, which was not made on this desk. So it is judged by the usual limits, and nothing of that check goes into the next one.`,
    ),
    el(
      'p',
      { class: 'actions' },
      el(
        'button',
        {
          type: 'button',
          class: 'plain',
          onclick: guarded(async () => {
            Object.assign(card, await change(card.id, { own: true }));
            again();
          }),
        },
        'It is mine, made elsewhere: use its limits',
      ),
    ),
  );
}

/** @param {import('../share/check-link.js').Check | null} check @param {boolean} own @param {SentResult} result @param {JudgedSet[]} sets */
function askedAndCame(check, own, result, sets) {
  const rows = [
    check
      ? [
          'Asked',
          [
            `${check.views.map((view) => VIEW_WORDS[view].toLowerCase()).join(', ')}; ${check.reps} reps each`,
            check.load && `load: ${check.load}`,
            check.cue && `to practise: ${check.cue}`,
            own ? '' : 'as the file says',
          ]
            .filter(Boolean)
            .join('; '),
        ]
      : null,
    [
      'Came',
      sets
        .map((set, i) => {
          const { recording } = result.sets[i];
          const { height_m } = recording.lifter ?? {};
          const from = /** @type {Record<string, string>} */ (VIEW_WORDS)[set.wanted] ?? 'As filmed';
          return [
            `${from.toLowerCase()}, ${dayWords(set.day)}: ${set.report.reps.length} reps`,
            ...loadWords(recording),
            height_m ? `height ${heightWords(height_m)}` : '',
            notGiven(recording),
          ]
            .filter(Boolean)
            .join(', ');
        })
        .join('; '),
    ],
  ].filter((r) => r !== null);
  return el('dl', { class: 'asked-facts', id: 'asked-and-came' }, ...rows.flatMap(([term, text]) => [el('dt', {}, term), el('dd', {}, text)]));
}

/** What a client may say of themselves and did not. @param {any} recording its set-up */
function notGiven({ load, footwear, lifter }) {
  const missing = [load ? '' : 'load', footwear ? '' : 'footwear', lifter?.height_m ? '' : 'height'].filter(Boolean);
  return missing.length ? `${missing.join(' and ')} not given` : '';
}

/** The coach's own cue where there is one, the tool's otherwise, and what goes with a cue. @param {DeskCard} card @param {any} report */
function cueToGive(card, report) {
  if (card.hurts && !card.cue) return el('div', { id: 'cue-to-give' }, adviceCard(report));
  const own = card.cue ? { ...report, cue: { ...report.cue, text: card.cue, side: null } } : report;
  return el(
    'div',
    { id: 'cue-to-give' },
    cueCard(own),
    card.cue ? el('p', { class: 'hint' }, `Your cue. The tool says: ${report.cue.text}`) : null,
    adviceCard(report),
  );
}

/** @param {DeskCard} card @param {string} tool the tool's cue @param {() => void} changed the cue */
function ownWords(card, tool, changed) {
  const status = el('span', { role: 'status', class: 'hint' });
  /** As they were when they were read, or last stored. */
  const base = { note: card.note, cue: card.cue };
  const field = (/** @type {'note' | 'cue'} */ key, /** @type {string} */ label, /** @type {string} */ placeholder) => {
    const input =
      key === 'note'
        ? el('textarea', { rows: 3, maxlength: OWN_MAX.note, name: 'own-note' })
        : el('input', { type: 'text', maxlength: OWN_MAX.cue, name: 'own-cue', placeholder });
    input.value = card[key];
    let waiting = 0;
    const save = async () => {
      clearTimeout(waiting);
      waiting = 0;
      const text = input.value.trim();
      const now = await change(card.id, { [key]: text }, { [key]: base[key] });
      Object.assign(card, { note: now.note, cue: now.cue });
      base[key] = now[key];
      // Another tab wrote here too: both are there now.
      if (now[key] !== text && input.value.trim() === text) input.value = now[key];
      status.textContent = 'Saved.';
    };
    // Stored while it is typed: a closed tab must not take a note along.
    input.addEventListener('input', () => {
      if (key === 'cue') {
        card.cue = input.value.trim();
        changed();
      }
      status.textContent = '';
      clearTimeout(waiting);
      waiting = setTimeout(guarded(save), TYPING_MS);
    });
    input.addEventListener('change', () => {
      if (waiting) guarded(save)();
    });
    return el('label', { class: 'field' }, label, input);
  };
  return el(
    'div',
    {},
    el('div', { class: 'two-up own-words' }, field('cue', 'Your cue, instead of the tool’s', tool), field('note', 'Your note, for yourself', '')),
    status,
  );
}

/**
 * @param {DeskCard} card
 * @param {SentResult} result
 * @param {import('../share/result-file.js').SentSet} set
 * @param {JudgedSet} judged
 * @param {import('../share/check-link.js').Check | null | undefined} check
 * @param {() => void} again shows this result
 */
function setSection(card, result, set, { wanted, day, report, differences, lines, other }, check, again) {
  const replay = async () => {
    const full = await analyze(set.recording, { series: true, thresholds: lines, hurts: Boolean(set.hurts) });
    await showResult(
      /** @type {any} */ ({
        id: card.id,
        name: card.client,
        source: `${card.client}’s result`,
        made: `${day}T12:00:00`,
        recording: set.recording,
        report: full,
        thresholds: lines,
        made_with: result.made_with,
        ...(set.hurts ? { hurts: true } : {}),
      }),
      [
        { label: 'Back to the result', act: again },
        { label: 'Back to the desk', act: guarded(() => showDesk()) },
      ],
    );
  };
  const different = otherThanAsked(report, wanted, check?.reps ?? 0);
  const changed = Object.keys(lines).length;
  return el(
    'section',
    {},
    el('h2', {}, /** @type {Record<string, string>} */ (VIEW_WORDS)[wanted] ?? 'As filmed'),
    el('p', { class: 'hint' }, viewWords(report.view)),
    different ? el('p', { class: 'slip' }, different) : '',
    other ? el('p', { class: 'slip', role: 'note' }, `The file names limits of its own (${linesWords(other) || 'the usual ones'}). They were not used.`) : '',
    differences.length
      ? el(
          'p',
          { class: 'slip' },
          `Computed again with today’s version; the client’s version (${result.made_with || 'unknown'}) said otherwise. ${differences.join('; ')}.`,
        )
      : el('p', { class: 'same-numbers' }, 'Computed again: equal to the client’s numbers.'),
    changed ? el('p', {}, `Limits changed for this check: ${linesWords(lines)}.`) : '',
    el('p', {}, report.finding.sentence),
    el('p', { class: 'actions' }, el('button', { type: 'button', class: 'plain', onclick: guarded(replay) }, 'Replay and curves')),
    repTable(report, guarded(replay), check?.checks),
  );
}

/** @param {import('./judged.js').Lines} lines */
function linesWords(lines) {
  return CHECKS.filter(({ key }) => lines[key])
    .flatMap(({ key, label }) => {
      const { low, high } = lines[key];
      return [low !== undefined && low !== null ? `${label} below ${low}` : '', high !== undefined && high !== null ? `${label} above ${high}` : ''].filter(
        Boolean,
      );
    })
    .join(', ');
}

/** Names, and what is taken off the desk. @param {string} name @param {boolean} archived @param {DeskCard | undefined} card @param {DeskCard[]} history */
function manage(name, archived, card, history) {
  const rename = el('input', { type: 'text', name: 'own-client', value: name, maxlength: OWN_MAX.client, autocomplete: 'off' });
  const move = el('input', { type: 'text', name: 'result-client', value: name, maxlength: OWN_MAX.client, autocomplete: 'off' });
  const typed = (/** @type {HTMLInputElement} */ input) => input.value.trim() || NO_NAME;
  const button = (/** @type {string} */ id, /** @type {string} */ label, /** @type {() => Promise<unknown>} */ act) =>
    el('button', { type: 'button', class: 'plain', id, onclick: guarded(act) }, label);
  return el(
    'details',
    { id: 'manage' },
    el('summary', {}, 'Name, archive, delete'),
    el(
      'div',
      { class: 'two-up own-words' },
      el(
        'div',
        {},
        el(
          'label',
          { class: 'field' },
          'Client’s name',
          rename,
          el('small', {}, 'For all of their results, and those to come. The name of another client puts both together.'),
        ),
        button('rename-client', 'Rename', async () => {
          const to = typed(rename);
          if (to === name) return;
          const { cards } = await wholeDesk();
          const same = cards.find((one) => one.client !== name && fold(one.client) === fold(to));
          const target = same?.client ?? to;
          if (same && !window.confirm(`${target} is on the desk already. Put the results of ${name} and ${target} together?`)) return;
          await renameClient(name, target);
          await showClient(target, card?.id);
        }),
      ),
      card
        ? el(
            'div',
            {},
            el(
              'label',
              { class: 'field' },
              'Choose the client of this result',
              move,
              el('small', {}, 'Where two clients write the same name: moves this result only.'),
            ),
            button('move-result', 'Move this result', async () => {
              const to = typed(move);
              await change(card.id, { client: to });
              await showClient(to, card.id);
            }),
          )
        : null,
    ),
    el(
      'p',
      { class: 'actions' },
      card
        ? button('save-as-came', 'Save this result as it came', async () => {
            const text = card.kind === 'link';
            saveAs(`${fileName(card.client, card.day)}${text ? '.txt' : FILE_SUFFIX}`, await asItCame(card), text ? 'text/plain' : 'application/octet-stream');
          })
        : null,
      card
        ? button('delete-result', 'Delete this result', async () => {
            if (!window.confirm('Delete this result from the desk? It can’t be brought back.')) return;
            await discard([card.id]);
            await (history.length > 1 ? showClient(name) : showDesk('Deleted.'));
          })
        : null,
      button('archive-client', archived ? 'Bring back from the archive' : 'Archive this client', async () => {
        await changeClient(name, { archived: !archived });
        await showDesk(archived ? `${name} is back.` : `${name} is archived.`);
      }),
      button('delete-client', 'Delete this client', async () => {
        if (!window.confirm(`Delete ${name} with all ${history.length} results, notes and cues? It can’t be brought back.`)) return;
        await discardClient(name);
        await showDesk(`${name} was deleted.`);
      }),
    ),
  );
}
