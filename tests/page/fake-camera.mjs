// @ts-check
/** Turns the rendered clip into a file that Chromium plays as its camera (a run of JPEG pictures, 30 a second, over and over). */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { BASE, CLIP, browser } from './harness.mjs';

/** @returns {Promise<{ switches: string[], remove: () => void }>} */
export async function fakeCamera() {
  const chromium = await browser();
  const page = await chromium.newPage();
  await page.goto(BASE);
  const clip = readFileSync(CLIP).toString('base64');
  const pictures = await page.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
    const { openVideo } = await import(/** @type {any} */ (new URL('input/video-file.js', document.baseURI).href));
    const video = await openVideo(new File([bytes], 'clip.webm', { type: 'video/webm' }));
    const out = [];
    for await (const { picture } of video.frames()) {
      const url = picture.toDataURL('image/jpeg', 0.9);
      out.push(url.slice(url.indexOf(',') + 1));
    }
    return out;
  }, clip);
  await chromium.close();
  const dir = mkdtempSync(join(tmpdir(), 'underfoot-camera-'));
  const path = join(dir, 'clip.mjpeg');
  writeFileSync(path, Buffer.concat(pictures.map((p) => Buffer.from(p, 'base64'))));
  return {
    switches: ['--use-fake-ui-for-media-stream', '--use-fake-device-for-media-stream', `--use-file-for-fake-video-capture=${path}`],
    remove: () => rmSync(dir, { recursive: true, force: true }),
  };
}
