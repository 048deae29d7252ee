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
const SOURCE = 'an invented lifter';

export async function runExample() {
  const response = await fetch(FILE).catch((cause) => { throw new Trouble('The example could not be loaded: check the connection and try again.', { cause }); });
  if (!response.ok) throw new Trouble('The example could not be loaded: load the page again.');
  const recording = await readKeypoints(await response.blob());
  const { frames, ...setup } = recording;
  const session = await openSession(setup);
  const count = el('p', { class: 'rep-count', 'aria-live': 'polite' }, '0');
  let pushed = 0;
  /** @param {number} frame */
  const upTo = (frame) => {
    for (; pushed <= frame; pushed += 1) {
      Promise.resolve(session.push(frames[pushed].t_ms, frames[pushed].points)).then(({ reps }) => { count.textContent = String(reps); }, () => {});
    }
  };
  const watched = await new Promise((resolve) => {
    const done = () => resolve(true);
    jointIndex(recording.layout).then((index) => {
      const player = createPlayer(recording, index, { onFrame: upTo, onEnd: done });
      $('live').replaceChildren(
        el('h1', { id: 'live-title', tabindex: '-1' }, 'An invented lifter squats'),
        el('p', {}, 'Only the keypoints are used: this is all that Underfoot sees of anybody.'),
        el('div', { class: 'watching' }, player.root, el('div', {}, el('p', { class: 'note-label' }, 'Repetitions'), count,
          el('p', { class: 'actions' }, el('button', { type: 'button', id: 'skip-to-result', onclick: done }, 'Show the result')))));
      show('live', { source: SOURCE, onLeave: () => { player.dispose(); session.free(); resolve(false); } });
      if (!matchMedia('(prefers-reduced-motion: reduce)').matches) player.play();
    });
  });
  if (!watched) return;
  await present(await measure({ recording, source: SOURCE, name: 'Example: an invented lifter' }), { own: false });
  announce('The result is shown.');
}
