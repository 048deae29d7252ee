// @ts-check
/** The example in README.md, run as it stands there. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import { browser, exampleRecording, inProject, open } from './harness.mjs';

const readme = readFileSync(inProject('README.md'), 'utf8');
const example = readme.match(/```js\n([\s\S]*?)```/)?.[1] ?? '';

test('the embedding example of the README reads the example recording', async () => {
  assert.ok(example.includes("from 'underfoot'"), 'README.md holds no example');
  const from = await browser();
  try {
    const { page, close } = await open(from, { serviceWorkers: 'block' });
    // A site's bundler or import map finds the package; here it lies at /pkg/.
    const { layout, image, frames } = exampleRecording();
    const body = example
      .replace("from 'underfoot'", "from '/pkg/index.js'")
      // The recording at hand is of another estimator and picture than the README's.
      .replace("'blazepose-33'", JSON.stringify(layout))
      .replace('{ width: 1280, height: 720 }', JSON.stringify(image));
    await page.route('**/readme-example.js', (route) => route.fulfill({ contentType: 'text/javascript', body }));
    const result = await page.evaluate(async (all) => {
      const path = '/readme-example.js';
      const { onPose, onSetEnd } = await import(path);
      for (const { t_ms, points } of all) onPose(t_ms, points);
      return onSetEnd();
    }, frames);
    assert.equal(typeof result.finding, 'string');
    assert.equal(typeof result.cue, 'string');
    assert.ok(result.heels.length >= 3, `${result.heels.length} repetitions`);
    assert.ok(['clear', 'unsure', 'fault', 'unseen'].includes(result.heels[0].left.verdict));
    await close();
  } finally {
    await from.close();
  }
});
