// A report on the page: the cue first, then why, then every number.
import { el, shape } from './dom.js';
import { numbered, rows, whole } from './words.js';

export function resultView(report, words) {
  const { cue, finding, notes, reps } = report;
  const list = (part, items) => (items.length ? el('ul', { part }, ...items.map((text) => el('li', {}, text))) : null);
  return el(
    'section',
    { part: 'result', 'aria-label': words.result },
    el(
      'div',
      { part: 'cue', class: 'cue' },
      el('strong', { part: 'cue-text' }, cue.text),
      ...cue.why.map((text) => el('p', { part: 'why' }, text)),
      cue.film_next ? el('p', { part: 'film-next' }, cue.film_next) : null,
    ),
    finding.sentence ? el('p', { part: 'finding' }, finding.sentence) : null,
    list('resting-shape', finding.resting_shape),
    reps.length ? table(reps, words) : el('p', { part: 'no-reps' }, words.noReps),
    list(
      'notes',
      notes.map((note) => note.text),
    ),
    list('cautions', cue.cautions),
  );
}

function table(reps, words) {
  const head = reps.map((rep) => el('th', { scope: 'col' }, numbered(words.rep, rep.index), rep.shallow ? el('small', {}, words.shallow) : null));
  const body = rows(words).map(({ name, unit, of }) =>
    el('tr', {}, el('th', { scope: 'row' }, name, el('small', {}, unit)), ...reps.map((rep) => cell(of(rep), words))),
  );
  return el(
    'div',
    { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': words.tableName },
    el(
      'table',
      { part: 'table' },
      el('caption', {}, words.caption),
      el('thead', {}, el('tr', {}, el('th', { scope: 'col' }, words.check), ...head)),
      el('tbody', {}, ...body),
    ),
  );
}

function cell(mark, words) {
  const word = el('span', { class: 'verdict' }, shape(mark.verdict), words.verdicts[mark.verdict] ?? mark.verdict);
  const unseen = mark.value === null;
  const text = unseen ? (words.why[mark.why] ?? words.verdicts.unseen) : `${whole(mark.value)} ± ${whole(mark.sd)}`;
  return el('td', { class: mark.verdict, part: `mark ${mark.verdict}` }, word, unseen ? el('small', {}, text) : el('span', {}, ` ${text}`));
}
