// @ts-check
/** A film of feet and shins: marked in its first still second, then followed in every picture, without an estimator. */
import { $ } from '../app/dom.js';
import { setupFrom } from '../app/core.js';
import { RunningSet } from '../app/running-set.js';
import { back, show } from '../app/screens.js';
import { Trouble, sentence, showTrouble } from '../app/trouble.js';
import { checkOptions } from '../asked/asked.js';
import { drawFeet } from '../figure/tracked-foot.js';
import { finish, present } from '../flows/finish.js';
import { LAYOUT } from '../input/estimator.js';
import { openVideo } from '../input/video-file.js';
import { BothWays } from './both-ways.js';
import { drawMarks } from './draw-marks.js';
import { fromEstimator } from './joints.js';
import { heldMarks, holdMarks, marksFor } from './last-marks.js';
import { askMarks } from './marks-view.js';
import { copyOf, firstStill } from './still.js';
import { wholeCrop } from './whole-crop.js';

/** So many frames are a set worth showing when the rest can't be read. */
const ENOUGH = 30;
/** A joint that is lost for so many frames in a row can be set right. */
const LOST = 12;
const WHY =
  'Put each mark on its joint, in this still picture. Left and right are the lifter’s own. Feet and shins are then followed in every picture; such a film shows knees, heels, rolls and contact points, not the load share or balance.';

/**
 * @param {File} file
 * @param {import('../app/types.js').Before} before
 * @param {{ t_ms: number, points: any }[] | null} found what an estimator found so far; null where none was asked: the film is then read
 *   only if the marks of the last set hold for it
 * @returns {Promise<boolean>} whether it was read, or left
 */
export async function runMarked(file, before, found) {
  const source = `the video ${file.name}`;
  const stop = new AbortController();
  let keep = false;
  let left = false;
  $('work-keep').onclick = () => {
    keep = true;
    stop.abort();
  };
  $('work-cancel').onclick = () => stop.abort();
  show('work', {
    source,
    passing: true,
    ask: 'Stop reading this video? What has been read so far is discarded.',
    onLeave: () => {
      left = true;
      stop.abort();
    },
  });
  say(0, 'Looking for a still second…', '');
  const place = $('work-marking');
  /** @type {RunningSet | null} */
  let set = null;
  try {
    const video = await openVideo(file);
    const still = await firstStill(video, stop.signal);
    if (!still && !stop.signal.aborted) throw new Trouble('No frame of this video could be decoded: save it as MP4 (H.264) and try again.');
    const again = still && heldMarks('video') && marksFor(still);
    if (!found && !stop.signal.aborted && !again?.sure) return false;
    /** @type {import('./joints.js').Joints | null} */
    let joints = null;
    if (still && again?.sure) {
      joints = again.joints;
    } else if (still) {
      const near = (found ?? []).reduce((/** @type {any} */ a, b) => (!a || Math.abs(b.t_ms - still.t_ms) < Math.abs(a.t_ms - still.t_ms) ? b : a), null);
      const proposed = fromEstimator(near?.points ?? null, video.width, video.height) ?? again?.joints ?? null;
      document.body.classList.add('marking');
      say(0, '', '');
      joints = await askMarks(place, { picture: still.picture, proposed, why: `${again?.said ?? ''} ${WHY}`.trim(), go: 'Read from these marks' }, stop.signal);
      document.body.classList.remove('marking');
    }
    if (!still || !joints) {
      if (!left) back();
      return true;
    }
    set = await RunningSet.open({
      layout: LAYOUT,
      image: { width: video.width, height: video.height },
      ...setupFrom(before),
      hurts: before.hurts,
      ...checkOptions(),
    });
    await set.session.mark(still.t_ms, joints, still.crops);
    holdMarks(still, joints, 'video');
    // Opened anew: a browser that steps its own player goes through a film once.
    const { ended, cut } = await follow(await openVideo(file), set, new BothWays(set, still, joints), again?.sure ? again.said : '', stop.signal);
    if (left || (!ended && !keep)) {
      if (!left) back();
      return true;
    }
    await present(await finish(set, { source, before, filmed: new Date(file.lastModified).toISOString() }), { film: { file, from_ms: 0, feet: set.feet } });
    if (cut) showTrouble(new Trouble(`The video could not be read to its end (${sentence(cut)}) What was read until then is below.`));
    return true;
  } catch (error) {
    if (!left) back();
    if (!stop.signal.aborted) throw error;
    return true;
  } finally {
    document.body.classList.remove('marking');
    place.replaceChildren();
    place.hidden = true;
    $('work-right').hidden = true;
    set?.free();
  }
}

/**
 * @param {import('../input/video-file.js').VideoFrames} video
 * @param {RunningSet} set
 * @param {BothWays} both
 * @param {string} said of the marks
 * @param {AbortSignal} signal
 * @returns {Promise<{ ended: boolean, cut?: unknown }>}
 */
async function follow(video, set, both, said, signal) {
  const canvas = /** @type {HTMLCanvasElement} */ (/** @type {unknown} */ ($('work-picture')));
  const scale = Math.min(1, 720 / Math.max(video.width, video.height));
  canvas.width = Math.round(video.width * scale);
  canvas.height = Math.round(video.height * scale);
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  const to = (/** @type {readonly [number, number]} */ [x, y]) => /** @type {[number, number]} */ ([x * scale, y * scale]);
  let lost = 0;
  let right = false;
  $('work-right').onclick = () => {
    right = true;
  };
  /** @type {any} */
  let last = null;
  try {
    for await (const { picture, t_ms } of video.frames()) {
      if (signal.aborted) return { ended: false };
      const crop = wholeCrop(picture);
      if (right) {
        right = false;
        document.body.classList.add('marking');
        const joints = await askMarks(
          $('work-marking'),
          {
            picture: copyOf(picture),
            proposed: proposedFrom(last),
            why: 'Put each mark where its joint is in this picture. Feet and shins are followed from here on, and back to where they were lost.',
            go: 'Go on from here',
          },
          signal,
        );
        document.body.classList.remove('marking');
        if (joints) {
          say(t_ms / 1000 / video.duration_s, 'Going back to where it was lost…', '');
          await both.right(t_ms, joints, crop);
        }
      }
      const [live, seen] = await Promise.all([set.push(t_ms, null, [crop]), set.session.followed()]);
      if (seen) last = { ...last, ...Object.fromEntries(Object.entries(seen).filter(([, at]) => at)) };
      both.keep({ t_ms, crop, seen });
      lost = seen && Object.entries(last ?? {}).every(([joint]) => seen[/** @type {import('./joints.js').MarkedJoint} */ (joint)]) ? 0 : lost + 1;
      $('work-right').hidden = false;
      const words = lost < LOST ? 'A mark is off: set it right here' : 'A joint is lost: set it right here';
      if ($('work-right').textContent !== words) $('work-right').textContent = words;
      pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
      drawMarks(pen, seen ?? {}, to, 4);
      drawFeet(pen, set.feet[set.feet.length - 1], to);
      const share = t_ms / 1000 / video.duration_s;
      say(
        share,
        `${said} Following feet and shins…`.trim(),
        `${(t_ms / 1000).toFixed(1)} of ${video.duration_s.toFixed(1)} s read · ${live.reps} ${live.reps === 1 ? 'rep' : 'reps'} so far`,
      );
      $('work-count').dataset.frames = String(set.frames.length);
      await new Promise((resolve) => setTimeout(resolve));
    }
  } catch (cut) {
    if (set.frames.length > ENOUGH) return { ended: true, cut };
    throw cut;
  }
  return { ended: true };
}

/** @param {any} joints @returns {import('./joints.js').Joints | null} */
const proposedFrom = (joints) => (joints && Object.keys(joints).length ? joints : null);

/** @param {number} share @param {string} now @param {string} counted */
function say(share, now, counted) {
  /** @type {HTMLProgressElement} */ ($('work-bar')).value = Math.min(1, share);
  if ($('work-now').textContent !== now) $('work-now').textContent = now;
  $('work-count').textContent = counted;
}
