// A report on the page: the cue first, then why, then every number.
import { el, shape } from './dom.js';
import { VERDICTS, rows, whole, whyUnseen } from './words.js';

export function resultView(report) {
  const { cue, finding, notes, reps } = report;
  const list = (part, items) => (items.length ? el('ul', { part }, ...items.map((text) => el('li', {}, text))) : null);
  return el('section', { part: 'result', 'aria-label': 'Result' },
    el('div', { part: 'cue', class: 'cue' },
      el('strong', { part: 'cue-text' }, cue.text),
      ...cue.why.map((text) => el('p', { part: 'why' }, text)),
      cue.film_next ? el('p', { part: 'film-next' }, cue.film_next) : null),
    finding.sentence ? el('p', { part: 'finding' }, finding.sentence) : null,
    list('resting-shape', finding.resting_shape),
    reps.length ? table(reps) : el('p', { part: 'no-reps' }, 'No whole repetition was found: begin and end each one standing tall, with the feet in the picture.'),
    list('notes', notes.map((note) => note.text)),
    list('cautions', cue.cautions));
}

function table(reps) {
  const head = reps.map((rep) => el('th', { scope: 'col' }, `Rep ${rep.index}`, rep.shallow ? el('small', {}, 'shallow') : null));
  const body = rows().map(({ name, unit, of }) =>
    el('tr', {}, el('th', { scope: 'row' }, name, el('small', {}, unit)), ...reps.map((rep) => cell(of(rep)))));
  return el('div', { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': 'Repetitions by check and side' },
    el('table', { part: 'table' },
      el('caption', {}, 'How far each check goes in each repetition, ± its standard error: knees against the foot, the rest against quiet standing.'),
      el('thead', {}, el('tr', {}, el('th', { scope: 'col' }, 'Check'), ...head)),
      el('tbody', {}, ...body)));
}

function cell(mark) {
  const word = el('span', { class: 'verdict' }, shape(mark.verdict), VERDICTS[mark.verdict] ?? mark.verdict);
  const unseen = mark.value === null;
  const text = unseen ? whyUnseen(mark.why) : `${whole(mark.value)} ± ${whole(mark.sd)}`;
  return el('td', { class: mark.verdict, part: `mark ${mark.verdict}` }, word, unseen ? el('small', {}, text) : el('span', {}, ` ${text}`));
}
