// @ts-check
/** A video file: every frame through the estimator, with a bar, a way out, and nothing lost. */
import { $ } from '../app/dom.js';
import { askBefore } from '../app/before.js';
import { checkOptions } from '../asked/asked.js';
import { core, setupFrom } from '../app/core.js';
import { show } from '../app/screens.js';
import { Trouble, showTrouble } from '../app/trouble.js';
import { Estimator, LAYOUT } from '../input/estimator.js';
import { feetCrops } from '../input/feet-crop.js';
import { openVideo } from '../input/video-file.js';
import { Overlay } from '../figure/overlay.js';
import { finish, present } from './finish.js';

/** @param {File} file */
export async function runVideo(file) {
  const video = await openVideo(file);
  const before = await askBefore('Read the video', { withEstimator: true });
  if (!before) return;
  const stop = new AbortController();
  let keep = false;
  const source = `the video ${file.name}`;
  $('work-keep').onclick = () => { keep = true; stop.abort(); };
  $('work-cancel').onclick = () => { keep = false; stop.abort(); };
  show('work', { source, onLeave: () => stop.abort() });
  progress(0, 'Loading the pose estimator (about 16 MB, once)…', '');
  /** @type {Estimator | null} */
  let estimator = null;
  /** @type {any} */
  let session = null;
  try {
    estimator = await Estimator.load({ progress: (share) => progress(share, 'Loading the pose estimator (about 16 MB, once)…', ''), signal: stop.signal });
    const { Session } = await core();
    session = new Session({ layout: LAYOUT, image: { width: video.width, height: video.height }, estimator: estimator.name, ...setupFrom(before), hurts: before.hurts, ...checkOptions() });
    const read = await readFrames(video, estimator, session, stop.signal).catch((error) => {
      // What was read before the trouble is still a set.
      if (!session.live?.reps && !(session.recording().frames.length > 30)) throw error;
      showTrouble(error);
      return true;
    });
    if (!read && !keep) return show('start');
    await present(await finish(session, { source, before }), { film: file });
  } catch (error) {
    if (stop.signal.aborted) return show('start');
    show('start');
    throw error;
  } finally {
    session?.free();
    estimator?.close();
  }
}

/**
 * @param {import('../input/video-file.js').VideoFrames} video
 * @param {Estimator} estimator
 * @param {any} session
 * @param {AbortSignal} signal
 * @returns {Promise<boolean>} whether it came to the end
 */
async function readFrames(video, estimator, session, signal) {
  const overlay = new Overlay($('work-picture'), video.width, video.height);
  let count = 0;
  let people = 0;
  let start = 0;
  for await (const { picture, t_ms } of video.frames()) {
    if (signal.aborted) return false;
    start ||= performance.now();
    const points = await estimator.estimate(picture, video.width, video.height, t_ms);
    const pen = /** @type {CanvasRenderingContext2D} */ (picture.getContext('2d'));
    const live = session.push(t_ms, points, points ? feetCrops(pen, points) : undefined);
    count += 1;
    if (points) people += 1;
    overlay.draw(picture, points);
    const pace = (performance.now() - start) / count;
    progress(t_ms / 1000 / video.duration_s, `${(t_ms / 1000).toFixed(1)} of ${video.duration_s.toFixed(1)} s`, `${count} frames, ${Math.round(pace)} ms each · ${live.reps} repetitions so far`);
    // Lets the bar and the buttons live.
    await new Promise((resolve) => setTimeout(resolve));
  }
  if (!count) throw new Trouble('No frame of this video could be decoded: save it as MP4 (H.264) and try again.');
  if (!people) throw new Trouble('Nobody was found in this video: film from further back, head to feet, with more light.');
  return true;
}

/** @param {number} share @param {string} now @param {string} counted */
function progress(share, now, counted) {
  /** @type {HTMLProgressElement} */ ($('work-bar')).value = Math.min(1, share);
  if ($('work-now').textContent !== now) $('work-now').textContent = now;
  $('work-count').textContent = counted;
}
