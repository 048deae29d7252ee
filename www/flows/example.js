// @ts-check
/** An invented lifter's recorded keypoints, played as they were filmed and counted live. */
import { $, announce, el } from '../app/dom.js';
import { openSession } from '../app/measurer.js';
import { show } from '../app/screens.js';
import { Trouble } from '../app/trouble.js';
import { readKeypoints } from '../input/read-file.js';
import { jointIndex } from '../figure/joints.js';
import { createPlayer } from '../figure/player.js';
import { measure, present } from './finish.js';

const FILE = 'example/squats.json.gz';
const SOURCE = 'a made-up lifter';

async function exampleRecording() {
  const response = await fetch(FILE).catch((cause) => {
    throw new Trouble('The example could not be loaded: check the connection and try again.', { cause });
  });
  if (!response.ok) throw new Trouble('The example could not be loaded: load the page again.');
  return readKeypoints(await response.blob());
}

/** Straight to what it showed. @param {any} [recording] */
export async function showExampleResult(recording) {
  await present(await measure({ recording: recording?.frames ? recording : await exampleRecording(), source: SOURCE, name: 'Example: a made-up lifter' }), {
    own: false,
    at: '#/example/result',
  });
  announce('The result is shown.');
}

export async function runExample() {
  const recording = await exampleRecording();
  const { frames, ...setup } = recording;
  const session = await openSession(setup);
  const count = el('p', { class: 'rep-count', 'aria-live': 'polite' }, '0');
  let pushed = 0;
  /** @param {number} frame */
  const upTo = (frame) => {
    for (; pushed <= frame; pushed += 1) {
      Promise.resolve(session.push(frames[pushed].t_ms, frames[pushed].points)).then(
        ({ reps }) => {
          count.textContent = String(reps);
        },
        () => {},
      );
    }
  };
  const watched = await new Promise((resolve) => {
    const done = () => resolve(true);
    jointIndex(recording.layout).then((index) => {
      const player = createPlayer(recording, index, { onFrame: upTo, onEnd: done });
      $('live').replaceChildren(
        el('h1', { id: 'live-title', tabindex: '-1' }, 'A made-up lifter squats'),
        el('p', {}, 'Only the keypoints are used: this is all that Underfoot sees of anybody.'),
        el(
          'div',
          { class: 'watching' },
          player.root,
          el(
            'div',
            {},
            el('p', { class: 'note-label' }, 'Repetitions'),
            count,
            el('p', { class: 'actions' }, el('button', { type: 'button', id: 'skip-to-result', onclick: done }, 'Show the result')),
          ),
        ),
      );
      show('live', {
        source: SOURCE,
        at: '#/example',
        onLeave: () => {
          player.dispose();
          session.free();
          resolve(false);
        },
      });
      if (!matchMedia('(prefers-reduced-motion: reduce)').matches) player.play();
    });
  });
  if (!watched) return;
  await showExampleResult(recording);
}
