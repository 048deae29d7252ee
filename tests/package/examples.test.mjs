// What the matrix does not say of the examples: one module for a whole page, and a bad file in Node.
import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { browser, project, run, serve, watched } from './harness.mjs';

test('plain HTML: element and session share one module and its report', async (t) => {
  const chromium = await browser();
  t.after(() => chromium.close());
  const dir = await project(t, 'plain');
  const view = await watched(chromium, await serve(t, dir));
  await view.page.waitForFunction(() => /3 repetitions/.test(document.getElementById('live').textContent));
  assert.equal(await view.page.locator('#reps li').count(), 3);
  await view.page.locator('underfoot-set [part=result]').waitFor();
  assert.deepEqual(
    view.asked
      .map((url) => url.match(/[a-z_]+\.wasm$/)?.[0])
      .filter(Boolean)
      .sort(),
    ['underfoot_bg.wasm', 'underfoot_report.wasm'],
  );
  await view.close();
});

test('Node: status 2 with one sentence for a bad file', async (t) => {
  const dir = await project(t, 'node');
  writeFileSync(join(dir, 'bad.json'), '{"layout":"coco-17","image":{"width":0,"height":1},"frames":[]}');
  const failed = await run('node', ['read.mjs', 'bad.json'], { cwd: dir }).catch((error) => error);
  assert.equal(failed.code, 2);
  assert.equal(failed.stderr, 'image.width: must be from 1 to 100000\n');
});
