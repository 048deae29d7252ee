// The packed tarball, installed by npm into each example project, built and run.
import assert from 'node:assert/strict';
import { readdirSync, writeFileSync, cpSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { fileURLToPath } from 'node:url';
import { browser, project, run, serve, watched } from './harness.mjs';

const bin = (path) => fileURLToPath(new URL(`node_modules/${path}`, import.meta.url));
const files = (dir) => readdirSync(dir, { recursive: true }).map(String);

let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

test('plain HTML: element and session, under the policy, in silence', async (t) => {
  const dir = await project(t, 'plain');
  const url = await serve(t, dir);
  const view = await watched(chromium, url);
  await view.page.waitForFunction(() => /3 repetitions/.test(document.getElementById('live').textContent));
  assert.equal(await view.page.locator('#reps li').count(), 3);
  await view.page.locator('underfoot-set [part=result]').waitFor();
  assert.equal(await view.page.locator('underfoot-set thead th').count(), 4);
  assert.equal(view.asked.filter((url) => url.endsWith('.wasm')).length, 1, 'element and script share one module');
  await view.close();
});

test('a worker: the same set through promises', async (t) => {
  const dir = await project(t, 'worker');
  const url = await serve(t, dir);
  const view = await watched(chromium, url);
  await view.page.waitForFunction(() => /3 repetitions/.test(document.getElementById('live').textContent));
  assert.equal(await view.page.locator('#reps li').count(), 3);
  await view.close();
});

test('Node: a report from a file, and status 2 with one sentence for a bad one', async (t) => {
  const dir = await project(t, 'node');
  const { stdout, stderr } = await run('node', ['read.mjs', 'recording.json'], { cwd: dir });
  assert.equal(stdout.split('\n').filter((line) => line.startsWith('repetition ')).length, 3);
  assert.equal(stderr, '');
  writeFileSync(join(dir, 'bad.json'), '{"layout":"coco-17","image":{"width":0,"height":1},"frames":[]}');
  const failed = await run('node', ['read.mjs', 'bad.json'], { cwd: dir }).catch((error) => error);
  assert.equal(failed.code, 2);
  assert.equal(failed.stderr, 'image.width: must be from 1 to 100000\n');
});

test('Vite and TypeScript: types hold, one module in the bundle, the built page works', async (t) => {
  const dir = await project(t, 'vite');
  await run('node', [bin('typescript/bin/tsc'), '-p', dir]);
  const { createServer, build } = await import('vite');
  const options = { root: dir, configFile: false, base: './' };
  const warnings = [];
  const customLogger = { info() {}, warn: (text) => warnings.push(text), warnOnce: (text) => warnings.push(text), error: (text) => warnings.push(text), clearScreen() {}, hasErrorLogged: () => false, hasWarned: false };
  await build({ ...options, customLogger });
  assert.deepEqual(warnings, []);
  const built = files(join(dir, 'dist'));
  assert.equal(built.filter((name) => name.endsWith('.wasm')).length, 1, built.join());
  cpSync(join(dir, 'recording.json'), join(dir, 'dist/recording.json'));
  const url = await serve(t, join(dir, 'dist'));
  await ends(url);

  const dev = await createServer({ ...options, customLogger, server: { port: 0, host: '127.0.0.1' }, cacheDir: join(dir, '.vite') });
  t.after(() => dev.close());
  await dev.listen();
  // Vite reloads the page once when it has prepared a dependency; warm it up before the page is watched.
  const { port } = dev.httpServer.address();
  const first = await chromium.newPage();
  await first.goto(`http://127.0.0.1:${port}/`);
  await first.waitForFunction(() => document.getElementById('worker').textContent.length > 0);
  await first.close();
  await ends(`http://127.0.0.1:${port}/`);
});

async function ends(url) {
  const view = await watched(chromium, url);
  await view.page.waitForFunction(() => document.getElementById('worker').textContent.length > 0);
  assert.match(await view.page.textContent('#live'), /, 3 repetitions/);
  assert.equal(await view.page.textContent('#worker'), '3 repetitions in a worker');
  await view.page.locator('underfoot-set [part=result]').waitFor();
  await view.close();
}
