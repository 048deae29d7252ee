// @ts-check
/** How much passes between coach and client. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { gunzipSync } from 'node:zlib';
import { CHECKS, VIEWS, encodeCheck } from '../../www/share/check-link.js';
import { encodeResult } from '../../www/share/result-file.js';
import { encodeSummary, summarise } from '../../www/share/result-link.js';
import { browser, inProject, open } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

test('ten repetitions and more of the estimator’s own output as a file, and the longest links', async () => {
  // Real output of the estimator (tests/data/clips), three repetitions each; one after the other for the file.
  const clips = ['front-clean', 'front-knees-in', 'front-rolled-out', 'front-shift', 'side-clean', 'side-heel-lift'].map((name) =>
    JSON.parse(gunzipSync(readFileSync(inProject(`tests/data/clips/dev-${name}.pose.json.gz`))).toString()),
  );
  let from = 0;
  const frames = clips
    .slice(0, 4)
    .flatMap((one) => {
      const start = from;
      from += one.frames.at(-1).t_ms + 33;
      return one.frames.map((/** @type {any} */ f) => ({ ...f, t_ms: f.t_ms + start }));
    })
    .map((f, i) => ({
      ...f,
      // What a followed picture adds in every frame, invented but as noisy as it is.
      feet: Object.fromEntries(
        ['left', 'right'].map((side, s) => [
          side,
          {
            heel_lift_mm: [3 * Math.sin(i / 20) + noise(i + s), 1 + noise(i) ** 2],
            foot_roll_deg: [noise(i + 9), 2],
            contacts_px: [0, 1, 2].map((p) => [300 + 60 * s + 9 * p + noise(i * 7 + p), 900 + noise(i * 5 + p)]),
          },
        ]),
      ),
    }));
  const { page, close } = await open(chromium);
  const recording = { ...clips[0], frames };
  const [report, ...reports] = await page.evaluate(
    async (recordings) => {
      const { analyze } = await import(/** @type {any} */ (new URL('app/measurer.js', document.baseURI).href));
      return Promise.all(recordings.map((one) => analyze(one)));
    },
    [recording, ...clips],
  );
  assert.ok(report.reps.length >= 10, `${report.reps.length} repetitions`);
  const set = { recording, report, thresholds: {}, wanted: 'front' };
  const bytes = encodeResult({ made_with: '0.1.0', day: '2026-11-25', lifter: 'Robin', note: '', check: null, sets: [set] });
  const summary = encodeSummary({ day: '2026-11-25', lifter: 'R'.repeat(30), sets: reports.map(summarise) });
  /** @type {any} */
  const all = {
    checks: [...CHECKS],
    views: [...VIEWS],
    reps: 30,
    thresholds: Object.fromEntries(CHECKS.map((c, i) => [c, { low: -7.25 - i, high: 9.75 + i }])),
  };
  const words = (/** @type {number} */ n) =>
    Array.from({ length: n }, (_, i) => String.fromCharCode(97 + Math.floor(26 * (noise(i + 300 * n) + 0.5)))).join('');
  const longest = encodeCheck({ ...all, load: words(40), cue: words(120), message: words(200), coach: words(30) });
  console.log(
    `    ${report.reps.length} repetitions, ${frames.length} frames: file ${bytes.length} bytes; summary of ${reports.length} sets ${summary.length} characters; the largest check there can be ${longest.length}`,
  );
  assert.ok(bytes.length < 150_000);
  assert.ok(summary.length < 2000);
  await close();
});

/** Between -0.5 and 0.5, the same every time. @param {number} i */
function noise(i) {
  const x = Math.sin(i * 12.9898) * 43758.5453;
  return x - Math.floor(x) - 0.5;
}
