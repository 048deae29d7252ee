// @ts-check
/** A live set without the estimator's weight: keypoints that it once gave for a rendered clip, at the pace at which they were filmed. */
import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { answerBefore, inProject } from './harness.mjs';

/** A camera that Chromium makes up; what it shows does not matter here. */
export const MADE_UP_CAMERA = ['--use-fake-ui-for-media-stream', '--use-fake-device-for-media-stream'];

/** Three squats from the front (tests/data/clips); real output of the estimator that the page uses, 33 points. */
function clip() {
  const recording = JSON.parse(gunzipSync(readFileSync(inProject('tests/data/clips/dev-front-knees-in.pose.json.gz'))).toString());
  return { image: recording.image, frames: recording.frames.map((/** @type {any} */ f) => ({ t_ms: f.t_ms, points: f.points?.flat() ?? null })) };
}

/**
 * Puts the recorded keypoints in the estimator's place. After the last one the lifter walks out to the side.
 * @param {import('playwright-core').Page} page
 * @param {{ failsAt_ms?: number, stays?: boolean, live?: boolean }} [options] failsAt_ms: it throws from this time of the clip on; stays: the lifter stands still at the end; live: false for a video file of that clip
 */
export async function standIn(page, options = {}) {
  await page.evaluate(
    async ({ recorded, failsAt_ms, stays, live = true }) => {
      const { Estimator } = await import(/** @type {any} */ (new URL('input/estimator.js', document.baseURI).href));
      const { image, frames } = recorded;
      const last = frames.at(-1);
      // The clip begins with too short a stand for a count-in: its first second goes to and fro before it is played.
      const STAND = live ? 3000 : 0;
      const standing = frames.findLastIndex((/** @type {any} */ f) => f.t_ms < 800);
      let from = NaN;
      /** @param {HTMLCanvasElement} _picture @param {number} width @param {number} height @param {number} t_ms */
      const estimate = async (_picture, width, height, t_ms) => {
        if (Number.isNaN(from)) from = t_ms;
        const t = t_ms - from - STAND;
        if (failsAt_ms !== undefined && t > failsAt_ms) throw new Error('graphics context lost');
        const swing = Math.floor((t + STAND) / 33) % (2 * standing);
        const frame = t < 0 ? frames[Math.min(swing, 2 * standing - swing)] : (frames.findLast((/** @type {any} */ f) => f.t_ms <= t) ?? frames[0]);
        // From 0.6 m/s on the way out; after a second and a half out of the picture.
        const gone = stays ? 0 : Math.max(0, t - last.t_ms);
        if (!frame.points || gone > 1500) return null;
        const scale = Math.min(width / image.width, height / image.height);
        const [left, top] = [(width - scale * image.width) / 2, (height - scale * image.height) / 2];
        return Float32Array.from(frame.points, (v, i) => (i % 3 === 0 ? v * scale + left + gone * 0.25 : i % 3 === 1 ? v * scale + top : v));
      };
      Estimator.load = async () => ({ name: 'mediapipe-pose-full', estimate, close() {} });
    },
    { recorded: clip(), ...options },
  );
}

/** Through the questions to the camera. @param {import('playwright-core').Page} page */
export async function toCamera(page) {
  await page.click('#way-camera');
  await answerBefore(page);
}

/** Through the questions to the count. @param {import('playwright-core').Page} page */
export async function toCounting(page) {
  await toCamera(page);
  await page.waitForSelector('#live.counting', { timeout: 20_000 });
}

/** Waits for a number of counted repetitions. @param {import('playwright-core').Page} page @param {number} n */
export async function counted(page, n) {
  await page.waitForFunction((wanted) => Number(document.getElementById('rep-count')?.textContent) >= wanted, n, { timeout: 40_000 });
}

/**
 * The longest time that the page's own thread stood still while it counted, ms, and the middle one of its gaps: what is
 * measured must not be felt there.
 * @param {import('playwright-core').Page} page
 * @returns {Promise<{ longest: number, middle: number }>}
 */
export function longestGap(page) {
  return page.evaluate(
    () =>
      new Promise((resolve) => {
        let last = performance.now();
        /** @type {number[]} */
        const gaps = [];
        const beat = () => {
          const now = performance.now();
          gaps.push(now - last);
          last = now;
          if (document.querySelector('#live.counting')) return void setTimeout(beat, 4);
          gaps.sort((a, b) => a - b);
          resolve({ longest: gaps[gaps.length - 1], middle: gaps[gaps.length >> 1] });
        };
        beat();
      }),
  );
}
