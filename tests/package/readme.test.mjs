// The snippets of the READMEs run as they stand.
import assert from 'node:assert/strict';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { browser, inProject, project, recording, run, serve, watched } from './harness.mjs';

const snippets = (path, language) =>
  [...readFileSync(inProject(path), 'utf8').matchAll(new RegExp(`\`\`\`${language}\n([\\s\\S]*?)\`\`\``, 'g'))].map((match) => match[1]);
const OWN = 'pkg-template/README.md';
/** As a bundler would: the package's name becomes its file. */
const resolved = (code) => code.replaceAll(/from 'underfoot(?:\/(\w+))?'/g, (_, entry = 'index') => `from './node_modules/underfoot/${entry}.js'`);

let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

async function page(t, html, scripts) {
  const dir = await project(t);
  for (const [name, code] of Object.entries(scripts)) writeFileSync(join(dir, name), resolved(code));
  writeFileSync(join(dir, 'index.html'), `<!doctype html><meta charset="utf-8"><link rel="icon" href="data:,">${html}`);
  return watched(chromium, await serve(t, dir));
}

test('every JavaScript snippet is one that is run below', () => {
  assert.equal(snippets(OWN, 'js').length, 5);
  assert.equal(snippets(OWN, 'html').length, 1);
});

test('the first result, the element, the worker', async (t) => {
  const [first, , , worker] = snippets(OWN, 'js');
  const view = await page(t, snippets(OWN, 'html')[0], { 'first.js': first, 'worker.js': worker });
  const logged = [];
  view.page.on('console', (message) => logged.push(message.text()));
  await view.page.evaluate(() => import('./first.js'));
  assert.equal(logged.length, 4);
  assert.ok(logged[0].length > 10, 'the cue');
  // What the README says of it.
  assert.match(logged[3], /^3 \d+\.\d+ fault$/);
  const values = logged.slice(1).map((line) => Number(line.split(' ')[1]));
  assert.ok(values[0] < values[1] && values[1] < values[2], `${values}`);
  await view.page.evaluate(() => import('./worker.js'));
  assert.equal(logged[4], logged[0]);
  await view.page.locator('underfoot-set [part=result]').waitFor();
  await view.close();
});

test('frame by frame, and an adapter', async (t) => {
  const [, frames, adapter] = snippets(OWN, 'js').slice(0, 3);
  const view = await page(t, '', { 'frames.js': frames, 'adapter.js': adapter });
  const seen = await view.page.evaluate(async ({ frames, image }) => {
    const { onPose, onStop } = await import('./frames.js');
    let line;
    for (const { t_ms, points } of frames) {
      line = onPose(t_ms, { landmarks: [points.map(([x, y, visibility]) => ({ x: x / image.width, y: y / image.height, visibility }))] });
    }
    const { report, recording } = onStop();
    const { people } = await import('./adapter.js');
    return [line, report.reps.length, recording.frames.length, people.length, people[0].length, people[0][0]];
  }, recording());
  assert.deepEqual(seen, ['standing, 3 repetitions', 3, recording().frames.length, 1, 78, 640]);
  await view.close();
});

test('Node', async (t) => {
  const dir = await project(t);
  writeFileSync(join(dir, 'read.mjs'), snippets(OWN, 'js')[4]);
  const { stdout, stderr } = await run('node', ['read.mjs'], { cwd: dir });
  assert.ok(stdout.trim().length > 10);
  assert.equal(stderr, '');
});

test('the embedding example of the project’s own README', async (t) => {
  const [code] = snippets('README.md', 'js');
  const view = await page(t, '', { 'embed.js': code });
  const seen = await view.page.evaluate(async ({ frames, image }) => {
    const { onPose, onSetEnd } = await import('./embed.js');
    // An upright picture inside the README's lying one, as a site would show it.
    const k = 720 / image.height;
    const aside = (1280 - image.width * k) / 2;
    for (const { t_ms, points } of frames)
      onPose(
        t_ms,
        points.map(([x, y, s]) => [x * k + aside, y * k, s]),
      );
    return onSetEnd();
  }, recording());
  assert.equal(seen.heels.length, 3);
  assert.ok(seen.cue.length > 10);
  await view.close();
});

test('the page of fields: packed with its pictures, and every field, code and link of it is there', async (t) => {
  const home = join(await project(t), 'node_modules/underfoot');
  const page = readFileSync(join(home, 'docs/fields.md'), 'utf8');
  assert.match(readFileSync(join(home, 'README.md'), 'utf8'), /\]\(docs\/fields\.md\)/);
  const pictures = [...page.matchAll(/\]\(([\w-]+\.svg)\)/g)].map(([, name]) => name);
  assert.equal(new Set(pictures).size, 10);
  for (const name of pictures) assert.match(readFileSync(join(home, 'docs', name), 'utf8'), /^<svg .*<text /s, name);
  const { definitions } = JSON.parse(readFileSync(join(home, 'report.schema.json'), 'utf8'));
  const fields = Object.entries(definitions).flatMap(([name, { properties = {} }]) => (name.includes('<') ? [] : Object.keys(properties)));
  assert.ok(fields.length > 70, `${fields.length}`);
  for (const field of fields) assert.ok(page.includes(`| \`${field}\` |`), field);
  for (const name of ['NoteCode', 'FilmId', 'CueId']) for (const code of definitions[name].enum) assert.ok(page.includes(`\`${code}\``), code);
});

test('every file that the packed manifest names is in the tarball', async (t) => {
  const dir = await project(t);
  const home = join(dir, 'node_modules/underfoot');
  const manifest = JSON.parse(readFileSync(join(home, 'package.json'), 'utf8'));
  for (const [entry, target] of Object.entries(manifest.exports)) {
    const paths = typeof target === 'string' ? [target] : Object.values(target);
    // TypeScript takes the first condition that fits.
    if (typeof target !== 'string') assert.equal(Object.keys(target)[0], 'types', entry);
    for (const path of paths) assert.ok(existsSync(join(home, path)), path);
  }
  for (const path of ['LICENSE-MIT', 'LICENSE-APACHE', 'THIRD-PARTY.txt', 'README.md', 'lib/core.js.map']) assert.ok(existsSync(join(home, path)), path);
  for (const path of ['examples', 'node_modules']) assert.ok(!existsSync(join(home, path)), path);
  // Made by the command that packs it.
  const readme = readFileSync(join(home, 'README.md'), 'utf8');
  assert.match(readme, /\| first load: scripts and module \| \d+ \|/);
  assert.match(readme, /a frame \d+ µs, the report over .* \d+ ms/);
  assert.doesNotMatch(readme, /\{\{/);
  // The licences of what is linked in, in their own words.
  const notices = readFileSync(join(home, 'THIRD-PARTY.txt'), 'utf8');
  for (const crate of ['glam', 'serde', 'wasm-bindgen', 'rlsf', 'libm']) assert.match(notices, new RegExp(`^== ${crate} [\\d.]+ \\(.+\\)$`, 'm'));
  assert.match(notices, /Permission is hereby granted, free of charge/);
  assert.match(notices, /Apache License\s+Version 2\.0/);
  // What the module says when it stops must not tell where it was built.
  const module = readFileSync(join(home, 'wasm/underfoot_bg.wasm'), 'latin1');
  for (const trace of [/\/home\/|\/root\/|\/work\//, /registry\/src/]) assert.doesNotMatch(module, trace);
});
