// @ts-check
/** Everything that would go back to the coach, seen before it goes. */
import { $, el } from '../app/dom.js';
import { core } from '../app/core.js';
import { analyze } from '../app/measurer.js';
import { saveAs } from '../app/save-as.js';
import { recall, remember } from '../app/memory.js';
import { show } from '../app/screens.js';
import { viewWords } from '../result/words.js';
import { VIEW_WORDS, dayWords, otherThanAsked } from '../coach/words.js';
import { linkBox } from '../coach/hand-over.js';
import { fileName } from '../share/file-name.js';
import { FILE_SUFFIX, NOTE_MAX, asSent, decodeResult, encodeResult } from '../share/result-file.js';
import { encodeSummary, summarise } from '../share/result-link.js';
import { toText } from '../share/result-text.js';
import { asked, rememberAsked } from './asked.js';
import { showAsked } from './asked-view.js';

/** The day of filming where the lifter is, `YYYY-MM-DD`; no time of day. @param {{ made: string, filmed?: string }} set */
function dayOf(set) {
  const at = new Date(set.filmed ?? set.made);
  const known = Number.isNaN(at.getTime()) || at.getFullYear() < 2000 ? new Date() : at;
  return [known.getFullYear(), known.getMonth() + 1, known.getDate()].map((n) => String(n).padStart(2, '0')).join('-');
}

export async function showSendBack() {
  const state = asked();
  if (!state) return;
  const { check, taken } = state;
  const { version } = await core();
  // Computed from the points as the file holds them, so that both sides see equal numbers.
  const sets = await Promise.all(
    [...taken].map(async ([wanted, set]) => {
      const recording = asSent(set.recording);
      const hurts = Boolean(set.hurts);
      return {
        recording,
        report: await analyze(recording, { thresholds: check.thresholds, hurts }),
        thresholds: check.thresholds,
        wanted,
        day: dayOf(set),
        hurts,
      };
    }),
  );
  const day =
    sets
      .map((set) => set.day)
      .sort()
      .at(-1) ?? '';
  const nickname = el('input', { type: 'text', name: 'nickname', maxlength: 30, value: recall('nickname', ''), autocomplete: 'off' });
  const note = el('textarea', {
    name: 'note',
    rows: 3,
    maxlength: NOTE_MAX,
    autocomplete: 'off',
    oninput: () => {
      state.note = note.value;
      rememberAsked();
    },
  });
  note.value = state.note;
  const made = () => {
    remember('nickname', nickname.value.trim());
    return { made_with: String(version), day, lifter: nickname.value.trim(), note: note.value.trim(), check, sets };
  };
  const named = (/** @type {string} */ suffix) => `${fileName(nickname.value, day)}${suffix}`;
  const asText = () => toText(encodeResult(made()));
  const shared = shareable(() => encodeResult(made()), named);
  const summary = el('div', {});
  const said = el('p', { role: 'status', id: 'sent-said' });
  const coach = check.coach || 'your coach';
  const frames = sets.reduce((n, set) => n + set.recording.frames.length, 0);
  $('asked').replaceChildren(
    el('h1', { id: 'asked-title', tabindex: '-1' }, 'Send it back'),
    el('p', {}, 'This is everything that is in it:'),
    el(
      'ul',
      { id: 'in-it' },
      el('li', {}, sets.some((set) => set.hurts) ? 'That something hurts: your coach sees this first, and no cue.' : 'That nothing hurt.'),
      el('li', {}, `The day of filming: ${[...new Set(sets.map((set) => dayWords(set.day)))].join(', ')}. No time of day, no place, no device name.`),
      ...sets.map((set) =>
        el(
          'li',
          {},
          `${VIEW_WORDS[set.wanted]}: ${set.report.reps.length} repetitions. ${viewWords(set.report.view)} ${otherThanAsked(set.report, set.wanted, check.reps)} ${set.report.finding.sentence}`,
        ),
      ),
      el('li', {}, `The points of your joints in ${frames} frames, so that the coach can replay a stick figure. No video, no picture.`),
      sets.some((set) => set.recording.frames.some((/** @type {any} */ f) => f.feet))
        ? el('li', {}, 'What the picture showed of your feet in each frame: heel height, roll and three points, as numbers.')
        : null,
      sets.some((set) => set.recording.marks) ? el('li', {}, 'Where you marked the joints of feet and shins, as points.') : null,
      el('li', {}, 'What you said of height, load and footwear, and the coach’s own check.'),
      el('li', { id: 'result-size' }, `As a file: ${Math.ceil(encodeResult(made()).length / 1024)} kB.`),
    ),
    everything(() => decodeResult(encodeResult(made()))),
    el(
      'div',
      { class: 'two-up own-words' },
      el('label', { class: 'field' }, 'The name the coach will see', nickname, el('small', {}, 'Any name you like, or none.')),
      el('label', { class: 'field' }, 'A note to the coach', note),
    ),
    el(
      'p',
      { class: 'actions' },
      shared
        ? el(
            'button',
            {
              type: 'button',
              id: 'share-result',
              onclick: () => {
                shared().then(
                  () => {
                    said.textContent = `Handed over. Check that it reached ${coach}.`;
                  },
                  (error) => {
                    if (error?.name !== 'AbortError') said.textContent = 'This device would not share it: save it as a file, and send that.';
                  },
                );
              },
            },
            'Share the file…',
          )
        : null,
      el(
        'button',
        {
          type: 'button',
          id: 'save-result',
          class: shared ? 'plain' : '',
          onclick: () => {
            const name = named(FILE_SUFFIX);
            saveAs(name, encodeResult(made()), 'application/octet-stream');
            said.textContent = `Saved as ${name} among your downloads. Now send that file to ${coach}, in a message or a mail.`;
          },
        },
        'Save as a file',
      ),
      el(
        'button',
        {
          type: 'button',
          class: 'plain',
          id: 'copy-result',
          onclick: async () => {
            try {
              await navigator.clipboard.writeText(asText());
              said.textContent = `Copied as text. Paste all of it into a mail to ${coach}.`;
            } catch {
              said.textContent = 'This browser would not copy it: save it as a file, and send that.';
            }
          },
        },
        'Copy as text',
      ),
      el(
        'button',
        {
          type: 'button',
          class: 'plain',
          id: 'summary-link',
          onclick: () => {
            const { lifter } = made();
            const fragment = encodeSummary({ day, lifter, sets: sets.map((set) => summarise(set.report, set.hurts)) });
            summary.replaceChildren(
              el('h2', {}, 'The summary as a link'),
              el('p', {}, 'Numbers only: no points, no replay.'),
              linkBox(fragment, { title: 'A squat result', qr: 'Point the coach’s camera here to open the summary.' }),
            );
          },
        },
        'Only the summary, as a link',
      ),
      el('button', { type: 'button', class: 'plain', onclick: showAsked }, 'Back to the check'),
    ),
    said,
    summary,
  );
  show('asked', { source: 'your own sets' });
}

/**
 * Share sheets take files of known kinds only (Web Share API, section 2.1.3, leaves it to the browser), and none lists ours: where ours is refused,
 * the same goes as a text file.
 * @param {() => Uint8Array} bytes
 * @param {(suffix: string) => string} named
 * @returns {(() => Promise<void>) | null} null where neither is taken
 */
function shareable(bytes, named) {
  const own = () => new File([/** @type {BlobPart} */ (bytes())], named(FILE_SUFFIX), { type: 'application/octet-stream' });
  const text = () => new File([toText(bytes())], named(`${FILE_SUFFIX}.txt`), { type: 'text/plain' });
  for (const file of [own, text]) {
    if (navigator.canShare?.({ files: [file()] })) return () => navigator.share({ files: [file()], title: 'Squat result' });
  }
  return null;
}

/**
 * The file read back, as the coach will read it: nothing is in it that is not here. Of the frames,
 * which are alike, the one in the middle stands for all.
 * @param {() => import('../share/result-file.js').SentResult} read
 */
function everything(read) {
  const text = el('pre', { tabindex: '0' });
  const box = el('details', { id: 'everything' }, el('summary', {}, 'Show it word for word, as it is in the file'), text);
  box.addEventListener('toggle', () => {
    const result = read();
    const sets = result.sets.map((set) => {
      const { frames, ...rest } = set.recording;
      return { ...set, recording: { ...rest, [`frames (one of ${frames.length})`]: frames[frames.length >> 1] } };
    });
    text.textContent = JSON.stringify({ ...result, sets }, null, 1).replace(/\[\s+([^[\]{}]*?)\s+\]/g, (_, list) => `[${list.replace(/\s+/g, ' ')}]`);
  });
  return box;
}
