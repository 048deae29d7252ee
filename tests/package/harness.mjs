// What the packaging tests share: the tarball, projects that install it, a server with a strict policy, a watched page.
import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import { tmpdir } from 'node:os';
import { extname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { gunzipSync } from 'node:zlib';
import { chromium } from 'playwright-core';

export const run = promisify(execFile);
export const inProject = (path) => fileURLToPath(new URL(`../../${path}`, import.meta.url));

/** The policy that the package's README asks for, and nothing beyond it: no eval, no inline script, no inline style. */
export const POLICY = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; connect-src 'self'; style-src 'self'; img-src data:";

const TYPES = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.mjs': 'text/javascript',
  '.json': 'application/json',
  '.wasm': 'application/wasm',
  '.css': 'text/css',
};

export function tarball() {
  const folder = process.env.UNDERFOOT_TARBALLS;
  assert.ok(folder, 'UNDERFOOT_TARBALLS names the folder with the packed package; `cargo xtask test package` sets it');
  const found = readdirSync(folder).filter((name) => /^underfoot-.*\.tgz$/.test(name));
  assert.equal(found.length, 1, `one tarball in ${folder}`);
  return join(folder, found[0]);
}

/** A recording of tests/data/recordings, as text. */
export const recordingText = (name = 'side-heel-lift') => gunzipSync(readFileSync(inProject(`tests/data/recordings/${name}.json.gz`))).toString();
export const recording = (name) => JSON.parse(recordingText(name));

/** A copy of an example (or of nothing) in a folder of its own, with the tarball installed by npm. */
export async function project(t, example) {
  const dir = mkdtempSync(join(tmpdir(), 'underfoot-'));
  t.after(() => rmSync(dir, { recursive: true, force: true }));
  if (example) cpSync(inProject(`examples/${example}`), dir, { recursive: true });
  const manifest = join(dir, 'package.json');
  const own = example && readdirSync(dir).includes('package.json') ? JSON.parse(readFileSync(manifest, 'utf8')) : { private: true, type: 'module' };
  // Only the package itself: what builds an example comes from this folder's node_modules.
  writeFileSync(manifest, JSON.stringify({ ...own, dependencies: {}, devDependencies: {} }));
  writeFileSync(join(dir, 'recording.json'), recordingText());
  await run('npm', ['install', '--offline', '--ignore-scripts', '--no-audit', '--no-fund', tarball()], { cwd: dir });
  return dir;
}

/** Serves a folder of this machine with the policy while the test runs; gives the address. */
export async function serve(t, dir, policy = POLICY) {
  const server = createServer((request, response) => {
    const path = normalize(decodeURIComponent(new URL(request.url, 'http://localhost').pathname)).replace(/\/$/, '/index.html');
    try {
      const body = readFileSync(join(dir, path));
      response.writeHead(200, { 'Content-Type': TYPES[extname(path)] ?? 'application/octet-stream', 'Content-Security-Policy': policy });
      response.end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  t.after(() => {
    server.closeAllConnections();
    server.close();
  });
  return `http://127.0.0.1:${server.address().port}/`;
}

const QUIET = [
  '--no-sandbox',
  '--disable-dev-shm-usage',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-default-apps',
  '--no-first-run',
];

export function browser(more = []) {
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: [...QUIET, ...more] });
}

/** A page that keeps what it warns of, what fails and what it asks other places for. */
export async function watched(from, url) {
  const context = await from.newContext();
  const page = await context.newPage();
  const complaints = [];
  const asked = [];
  page.on('console', (message) => {
    if (['warning', 'error'].includes(message.type())) complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
  context.on('request', (request) => asked.push(request.url()));
  page.on('response', (response) => {
    if (response.status() >= 400) complaints.push(`${response.status()} ${response.url()}`);
  });
  await page.goto(url);
  return {
    page,
    context,
    complaints,
    asked,
    /** No complaint, and no request to anywhere else. */
    async close() {
      assert.deepEqual(complaints, []);
      assert.deepEqual(
        asked.filter((one) => !one.startsWith(new URL(url).origin) && !one.startsWith('data:')),
        [],
      );
      await context.close();
    },
  };
}
