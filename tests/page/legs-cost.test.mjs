// @ts-check
/**
 * What following both marked legs costs a frame of 1280 x 720 in the browser's engine, and how fast a film is read. `UNDERFOOT_CLOSE=FOLDER`
 * reads the rendered close-ups of a folder besides (NAME.webm and NAME.truth.json.gz).
 */
import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { gunzipSync } from 'node:zlib';
import { CLOSE, TRUE } from './close-front.mjs';
import { browser, open } from './harness.mjs';

/** The aim is 3 ms with nothing else running; the ceiling allows for a shared machine. */
const MOST_MS = 9;
/** Points of the renderer's truth by part, left; the right ones are 14 further. */
const OF = { knee: 7, ankle: 8, heel: 9, big_toe: 10, small_toe: 11 };

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

/**
 * @param {string} path @param {Record<string, readonly [number, number]>} joints px, at 0.9 s
 * @param {number} width what its pictures are scaled to, px
 */
async function cost(path, joints, width) {
  const { page, close } = await open(chromium);
  const out = await page.evaluate(
    async ({ film, joints, width }) => {
      const at = (/** @type {string} */ path) => import(/** @type {any} */ (new URL(path, document.baseURI).href));
      const [{ openVideo }, { wholeCrop }, { RunningSet }, u] = await Promise.all(
        ['input/video-file.js', 'marks/whole-crop.js', 'app/running-set.js', 'pkg/index.js'].map(at),
      );
      await u.init();
      await u.initPicture();
      const file = new File([Uint8Array.from(atob(film), (c) => c.charCodeAt(0))], 'a.webm', { type: 'video/webm' });
      const video = await openVideo(file);
      const by = width / video.width;
      const canvas = document.createElement('canvas');
      [canvas.width, canvas.height] = [width, Math.round(video.height * by)];
      const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d', { willReadFrequently: true }));
      const crops = [];
      for await (const { picture, t_ms } of video.frames()) {
        if (t_ms > 5500) break;
        pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
        crops.push({ t_ms, crop: wholeCrop(canvas) });
      }
      const still = crops
        .filter(({ t_ms }) => t_ms <= 901)
        .map(({ crop }) => crop)
        .reverse();
      const scaled = Object.fromEntries(Object.entries(joints).map(([joint, [x, y]]) => [joint, [x * by, y * by]]));
      const setup = { layout: 'blazepose-33', image: { width: canvas.width, height: canvas.height } };
      const quickest = crops.map(() => Infinity);
      let found = 0;
      for (let round = 0; round < 4; round++) {
        const session = new u.Session(setup);
        await session.mark(900, scaled, still);
        for (const [i, { t_ms, crop }] of crops.entries()) {
          const from = performance.now();
          session.push(t_ms, null, [crop]);
          quickest[i] = Math.min(quickest[i], performance.now() - from);
          if (Object.values(session.followed() ?? {}).some(Boolean)) found += 1;
        }
        session.free();
      }
      // As the page reads a film: decoded, made grey, handed to the worker, asked for what was followed.
      const set = await RunningSet.open({ ...setup, image: { width: video.width, height: video.height } });
      await set.session.mark(900, joints, [await firstOf(video)]);
      const from = performance.now();
      let last = 0;
      for await (const { picture, t_ms } of (await openVideo(file)).frames()) {
        await Promise.all([set.push(t_ms, null, [wholeCrop(picture)]), set.session.followed()]);
        last = t_ms;
      }
      const read_ms = performance.now() - from;
      set.free();
      const mean = quickest.reduce((a, b) => a + b) / quickest.length;
      return { ms: mean, found: found / (4 * crops.length), speed: last / read_ms, size: `${video.width} x ${video.height}` };

      /** The picture at 0.9 s. @param {any} of */
      async function firstOf(of) {
        for await (const { picture, t_ms } of of.frames()) if (t_ms >= 899) return wholeCrop(picture);
      }
    },
    { film: readFileSync(path).toString('base64'), joints: /** @type {any} */ (joints), width },
  );
  await close();
  return out;
}

/** @param {Awaited<ReturnType<typeof cost>>} of @param {string} at the size that was followed in */
const words = ({ ms, speed, size }, at) =>
  `both legs, ${at}: ${ms.toFixed(2)} ms a frame; a film of ${size} is read at ${speed.toFixed(1)} times its own speed`;

test('both legs in a picture of 1280 x 720, and a film of 640 x 360', { timeout: 180_000 }, async () => {
  const out = await cost(CLOSE, TRUE, 1280);
  console.log(`    ${words(out, '1280 x 720')}`);
  assert.ok(out.found > 0.95);
  assert.ok(out.ms < MOST_MS, `${out.ms} ms`);
  assert.ok(out.speed > 1, `${out.speed} times`);
});

const folder = process.env.UNDERFOOT_CLOSE;
test('rendered close-ups of a folder', { skip: !folder && 'UNDERFOOT_CLOSE names none', timeout: 600_000 }, async () => {
  for (const name of readdirSync(folder ?? '').filter((one) => /^close.*\.webm$/.test(one))) {
    const { camera, fps, frames } = JSON.parse(gunzipSync(readFileSync(join(folder ?? '', name.replace('.webm', '.truth.json.gz')))).toString());
    const { px } = frames[Math.round(0.9 * fps)];
    const joints = Object.fromEntries(
      ['left', 'right'].flatMap((side, s) =>
        Object.entries(OF).flatMap(([part, k]) => {
          const [x, y] = px[k + 14 * s];
          return x >= 0 && y >= 0 && x < camera.width && y < camera.height ? [[`${side}_${part}`, [x, y]]] : [];
        }),
      ),
    );
    console.log(`    ${name}: ${words(await cost(join(folder ?? '', name), joints, camera.width), `${camera.width} x ${camera.height}`)}`);
  }
});
