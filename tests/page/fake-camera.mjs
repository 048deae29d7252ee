// @ts-check
/** Turns the rendered clip into a file that Chromium plays as its camera (a run of JPEG pictures, 30 a second, over and over). */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { BASE, CLIP, browser } from './harness.mjs';

/**
 * @param {{ film?: string, until_ms?: number, stand_ms?: number }} [options] film: another clip; until_ms: only so much of it; stand_ms: its first
 *   half second is played to and fro for so long before
 * @returns {Promise<{ switches: string[], remove: () => void }>}
 */
export async function fakeCamera({ film = CLIP, until_ms = Infinity, stand_ms = 0 } = {}) {
  const chromium = await browser();
  const page = await chromium.newPage();
  await page.goto(BASE);
  const clip = readFileSync(film).toString('base64');
  const pictures = await page.evaluate(
    async ({ base64, until_ms }) => {
      const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
      const { openVideo } = await import(/** @type {any} */ (new URL('input/video-file.js', document.baseURI).href));
      const video = await openVideo(new File([bytes], 'clip.webm', { type: 'video/webm' }));
      const out = [];
      for await (const { picture, t_ms } of video.frames()) {
        if (t_ms > until_ms) break;
        const url = picture.toDataURL('image/jpeg', 0.9);
        out.push(url.slice(url.indexOf(',') + 1));
      }
      return out;
    },
    { base64: clip, until_ms: Math.min(until_ms, 1e9) },
  );
  await chromium.close();
  const stand = Array.from({ length: Math.round((stand_ms * 30) / 1000) }, (_, i) => pictures[Math.min(i % 28, 28 - (i % 28))]);
  const dir = mkdtempSync(join(tmpdir(), 'underfoot-camera-'));
  const path = join(dir, 'clip.mjpeg');
  writeFileSync(path, Buffer.concat([...stand, ...pictures].map((p) => Buffer.from(p, 'base64'))));
  return {
    switches: ['--use-fake-ui-for-media-stream', '--use-fake-device-for-media-stream', `--use-file-for-fake-video-capture=${path}`],
    remove: () => rmSync(dir, { recursive: true, force: true }),
  };
}
