// @ts-check
/** A video file: every frame through the estimator, with a bar, a way out, and nothing lost. */
import { $ } from '../app/dom.js';
import { askBefore } from '../app/before.js';
import { checkOptions } from '../asked/asked.js';
import { setupFrom } from '../app/core.js';
import { RunningSet } from '../app/running-set.js';
import { back, show } from '../app/screens.js';
import { Trouble, sentence, showTrouble } from '../app/trouble.js';
import { Estimator, LAYOUT } from '../input/estimator.js';
import { wholeCrop } from '../marks/whole-crop.js';
import { openVideo } from '../input/video-file.js';
import { Overlay } from '../figure/overlay.js';
import { UnderWay } from '../records/under-way.js';
import { heldMarks } from '../marks/last-marks.js';
import { runMarked } from '../marks/run-marked.js';
import { finish, present } from './finish.js';

const LOADING = 'Loading the pose estimator, once';
/** So many frames are a set worth showing when the rest can't be read. */
const ENOUGH = 30;

/** @param {File} file */
export async function runVideo(file) {
  const video = await openVideo(file);
  const before = await askBefore('Read the video', { withEstimator: true });
  if (!before) return;
  // Another film of the same session, from where the last one was filmed: no estimator is needed.
  if (heldMarks('video') && (await runMarked(file, before, null))) return;
  const stop = new AbortController();
  let keep = false;
  const source = `the video ${file.name}`;
  $('work-keep').onclick = () => {
    keep = true;
    stop.abort();
  };
  $('work-cancel').onclick = () => stop.abort();
  let left = false;
  let byMarks = false;
  $('work-mark').onclick = () => {
    byMarks = true;
    stop.abort();
  };
  $('work-marks').hidden = true;
  /** @type {{ t_ms: number, points: any }[]} */
  let found = [];
  show('work', {
    source,
    passing: true,
    ask: 'Stop reading this video? What has been read so far is discarded.',
    onLeave: () => {
      left = true;
      stop.abort();
    },
  });
  progress(0, `${LOADING}…`, '');
  /** @type {Estimator | null} */
  let estimator = null;
  /** @type {RunningSet | null} */
  let set = null;
  /** @type {UnderWay | null} */
  let written = null;
  try {
    estimator = await Estimator.load({ progress: (share, said) => progress(share, `${LOADING}: ${said}`, ''), signal: stop.signal });
    set = await RunningSet.open({
      layout: LAYOUT,
      image: { width: video.width, height: video.height },
      estimator: estimator.name,
      ...setupFrom(before),
      hurts: before.hurts,
      ...checkOptions(),
    });
    written = new UnderWay({ setup: set.setup, name: before.name, hurts: before.hurts, made: new Date().toISOString(), source }, []);
    const { ended, cut, nobody } = await readFrames(video, estimator, set, written, stop.signal);
    byMarks ||= nobody === true;
    found = set.frames;
    if (byMarks) written.drop().catch(() => {});
    if (byMarks && !left) return;
    if (left || (!ended && !keep)) {
      written.drop().catch(() => {});
      return left ? undefined : back();
    }
    await present(await finish(set, { source, before, filmed: new Date(file.lastModified).toISOString() }), {
      film: { file, from_ms: 0, feet: set.feet },
      onKept: () => written?.drop(),
    });
    if (cut) showTrouble(new Trouble(`The video could not be read to its end (${sentence(cut)}) What was read until then is below.`));
  } catch (error) {
    const cancelled = stop.signal.aborted;
    written?.drop().catch(() => {});
    if (!left && !byMarks) back();
    if (!cancelled) throw error;
  } finally {
    set?.free();
    written?.close();
    estimator?.close();
    $('work-marks').hidden = true;
    if (byMarks && !left) await runMarked(file, before, found);
  }
}

/** Longest side of a picture that the feet are followed in, px: a foot of a tall film is then still seen as it was filmed. */
const FINE = 1920;

/**
 * @param {import('../input/video-file.js').VideoFrames} video
 * @param {Estimator} estimator
 * @param {RunningSet} set
 * @param {UnderWay} written
 * @param {AbortSignal} signal
 * @returns {Promise<{ ended: boolean, cut?: unknown, nobody?: boolean }>} whether it came to an end; cut: why it came early; nobody: was found
 */
async function readFrames(video, estimator, set, written, signal) {
  const overlay = new Overlay($('work-picture'), video.width, video.height);
  let people = 0;
  let whole = 0;
  let start = 0;
  try {
    for await (const { picture, t_ms } of video.frames()) {
      if (signal.aborted) return { ended: false };
      start ||= performance.now();
      const points = await estimator.estimate(picture, video.width, video.height, t_ms);
      // The whole picture: shins are followed in it beside the feet.
      const live = await set.push(t_ms, points, points ? [wholeCrop(picture, FINE)] : undefined);
      written.add({ t_ms, points });
      if (points) people += 1;
      if (wholePerson(points)) whole += 1;
      $('work-marks').hidden = t_ms < UNSEEN_MS || whole > set.frames.length / 2;
      overlay.draw(picture, points, set.feet.at(-1));
      const share = t_ms / 1000 / video.duration_s;
      progress(
        share,
        leftWords((performance.now() - start) / 1000, share),
        `${(t_ms / 1000).toFixed(1)} of ${video.duration_s.toFixed(1)} s read · ${live.reps} ${live.reps === 1 ? 'rep' : 'reps'} so far`,
      );
      $('work-count').dataset.frames = String(set.frames.length);
      // Lets the bar and the buttons live.
      await new Promise((resolve) => setTimeout(resolve));
    }
  } catch (cut) {
    // What was read before the trouble is still a set.
    if (set.frames.length > ENOUGH) return { ended: true, cut };
    throw cut;
  }
  if (!set.frames.length) throw new Trouble('No frame of this video could be decoded: save it as MP4 (H.264) and try again.');
  if (!people) return { ended: true, nobody: true };
  return { ended: true };
}

/** A whole person is waited for so long, ms of the film. */
const UNSEEN_MS = 700;
/** Nose, shoulders, hips and ankles (BlazePose-33): what a whole person shows. */
const WHOLE = [0, 11, 12, 23, 24, 27, 28];

/** @param {Float32Array | null} points */
function wholePerson(points) {
  return points !== null && WHOLE.every((i) => points[3 * i + 2] > 0.5);
}

/** Less than this has been read: no telling yet. */
const TELLING = 0.03;

/** @param {number} spent s @param {number} share that is read */
function leftWords(spent, share) {
  if (share < TELLING) return 'Reading…';
  const left = Math.max(0, (spent / share) * (1 - share));
  if (left < 10) return 'A few seconds left';
  if (left < 55) return `About ${10 * Math.round(left / 10)} seconds left`;
  const minutes = Math.round(left / 60);
  return minutes <= 1 ? 'About a minute left' : `About ${minutes} minutes left`;
}

/** @param {number} share @param {string} now @param {string} counted */
function progress(share, now, counted) {
  /** @type {HTMLProgressElement} */ ($('work-bar')).value = Math.min(1, share);
  if ($('work-now').textContent !== now) $('work-now').textContent = now;
  $('work-count').textContent = counted;
}
