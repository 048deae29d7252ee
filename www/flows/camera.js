// @ts-check
/** The camera, hands-free: stand still and it starts, walk away and it ends. */
import { askBefore } from '../app/before.js';
import { recall } from '../app/memory.js';
import { back } from '../app/screens.js';
import { Trouble, showTrouble } from '../app/trouble.js';
import { Estimator } from '../input/estimator.js';
import { keepAwake } from '../live/awake.js';
import { closeCamera, openCamera } from '../live/camera-stream.js';
import { runLive } from '../live/run-live.js';
import { speak, tone, wakeSound } from '../live/sounds.js';
import { allowTilt } from '../live/tilt.js';
import { heldMarks } from '../marks/last-marks.js';
import { finish, present } from './finish.js';

export async function runCamera() {
  wakeSound();
  const before = await askBefore('Open the camera', { withEstimator: true });
  if (!before) return;
  wakeSound();
  await allowTilt();
  const choice = { facing: recall('facing', matchMedia('(pointer: coarse)').matches ? 'environment' : 'user'), size: recall('size', 'usual') };
  const open = () => openCamera(/** @type {any} */ (choice.facing), /** @type {any} */ (choice.size));
  /** @type {MediaStream} */
  let stream = await open();
  const loader = estimatorOnce();
  const sleep = keepAwake();
  let shown = false;
  // Another close-up of the same session.
  let closeUp = heldMarks('camera') !== null;
  try {
    for (;;) {
      shown = true;
      const how = closeUp
        ? await (await import('../marks/live-marked.js')).runLiveMarked(stream, before, choice)
        : await runLive(stream, before, choice, loader);
      if (how.what === 'marks' || how.what === 'whole') {
        closeUp = how.what === 'marks';
        continue;
      }
      if (how.what === 'again') {
        closeCamera(stream);
        stream = await open();
        continue;
      }
      closeCamera(stream);
      if (how.what === 'nothing' && how.why) throw new Trouble(how.why);
      if (how.what === 'nothing') back();
      if (how.what !== 'done') return;
      tone(330, 0.4);
      try {
        const set = await finish(how.set, { source: 'the camera', before });
        speak(`${set.report.reps.length} ${set.report.reps.length === 1 ? 'rep' : 'reps'}. ${set.report.finding.sentence} ${set.report.cue.text}`);
        await present(set, { film: how.film, onKept: () => how.written?.drop() });
        if (how.why) showTrouble(new Trouble(how.why));
      } finally {
        how.set.free();
        how.written?.close();
      }
      return;
    }
  } catch (error) {
    if (shown) back();
    throw error;
  } finally {
    sleep();
    closeCamera(stream);
    loader.close();
  }
}

/** The estimator, loaded once however often the camera is changed. */
function estimatorOnce() {
  const stop = new AbortController();
  /** @type {Promise<Estimator> | null} */
  let loading = null;
  let progress = (/** @type {number} */ _share, /** @type {string} */ _said) => {};
  return {
    /** @param {(share: number, said: string) => void} heard of the progress from now on */
    load(heard) {
      progress = heard;
      loading ??= Estimator.load({ signal: stop.signal, progress: (share, said) => progress(share, said) });
      return loading;
    },
    close() {
      stop.abort();
      loading?.then(
        (estimator) => estimator.close(),
        () => {},
      );
    },
  };
}
