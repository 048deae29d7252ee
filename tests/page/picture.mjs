// @ts-check
/** The example's result, as the README shows it: light and dark. */
import { mkdirSync } from 'node:fs';
import { BASE, browser, inProject, shownReps } from './harness.mjs';

const INTO = inProject('xtask/readme');
mkdirSync(INTO, { recursive: true });
const chromium = await browser();
for (const colorScheme of /** @type {const} */ (['light', 'dark'])) {
  const context = await chromium.newContext({
    viewport: { width: 1200, height: 690 },
    colorScheme,
    reducedMotion: 'reduce',
    locale: 'en-GB',
    serviceWorkers: 'block',
  });
  const page = await context.newPage();
  await page.goto(`${BASE}#/example/result`);
  await shownReps(page);
  await page.screenshot({ path: `${INTO}/${colorScheme}.png` });
  await context.close();
}
await chromium.close();
console.log(`${INTO}/light.png and dark.png`);
