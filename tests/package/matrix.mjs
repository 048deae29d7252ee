// node tests/package/matrix.mjs [PART-OF-A-NAME...]: every way of setting the package up, from the tarball that is packed, as somebody
// would who copies examples/: no configuration but what the row says. Prints a table; ends with status 1 when a row fails.
// `cargo xtask matrix` packs the package first. Without Next, which takes a minute to install, in the tests (matrix.test.mjs).
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { spawn } from 'node:child_process';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { POLICY, browser, inProject, run, serve, tarball, watched } from './harness.mjs';

const HERE = fileURLToPath(new URL('node_modules/', import.meta.url));
const OFFLINE = ['--prefer-offline', '--ignore-scripts', '--no-audit', '--no-fund'];

/** A copy of an example with the tarball in it; what builds it lies in this folder's node_modules. */
async function copy(t, example, linked = []) {
  const dir = mkdtempSync(join(tmpdir(), 'underfoot-'));
  t.after(() => rmSync(dir, { recursive: true, force: true }));
  cpSync(inProject(`examples/${example}`), dir, { recursive: true });
  const home = join(dir, 'node_modules/underfoot');
  mkdirSync(home, { recursive: true });
  await run('tar', ['-xzf', tarball(), '-C', home, '--strip-components=1']);
  for (const name of linked) {
    const place = join(dir, 'node_modules', name);
    mkdirSync(join(place, '..'), { recursive: true });
    symlinkSync(join(HERE, name), place);
  }
  return dir;
}

const REACT = ['react', 'react-dom', '@types/react', '@types/react-dom', 'csstype', 'scheduler'];
const quiet = (said) => ({
  info() {},
  clearScreen() {},
  hasErrorLogged: () => false,
  hasWarned: false,
  warn: (text) => said.push(text),
  warnOnce: (text) => said.push(text),
  error: (text) => said.push(text),
});

/** The page shows what examples/react shows in the end, and complains of nothing. */
async function shows(t, url, only) {
  const view = await watched(t.chromium, url);
  try {
    await view.page.waitForFunction(() => document.getElementById('worker')?.textContent.length > 0, null, { timeout: 60_000 });
    const told = await view.page.textContent('#worker');
    if (told !== '3 repetitions in a worker') throw new Error(told);
    if (only !== 'worker') await view.page.locator('underfoot-set [part=result]').waitFor({ timeout: 10_000 });
  } finally {
    await view.context.close();
  }
  return view.complaints;
}

async function viteBuild(t, name) {
  const { build } = await import(name);
  const dir = await copy(t, 'react', REACT);
  const said = [];
  await build({ root: dir, configFile: false, base: './', customLogger: quiet(said), logLevel: 'warn' });
  const wasm = readdirSync(join(dir, 'dist/assets')).filter((file) => file.endsWith('.wasm'));
  if (wasm.length !== 4) throw new Error(`${wasm.length} modules in the bundle: ${wasm}`);
  return [...said, ...(await shows(t, await serve(t, join(dir, 'dist'))))];
}

async function viteDev(t, name) {
  const { createServer } = await import(name);
  const dir = await copy(t, 'react', REACT);
  const said = [];
  const dev = await createServer({ root: dir, configFile: false, customLogger: quiet(said), server: { port: 0, host: '127.0.0.1' } });
  t.after(() => dev.close());
  await dev.listen();
  // It reloads the page once when it has prepared a dependency.
  const url = `http://127.0.0.1:${dev.httpServer.address().port}/`;
  await shows(t, url).catch(() => {});
  return [...said, ...(await shows(t, url))];
}

/** Rows: name, what has to be said to it, and how it is tried. */
export const ROWS = [
  [
    'plain',
    '',
    async (t) => {
      const dir = await copy(t, 'plain');
      const view = await watched(t.chromium, await serve(t, dir));
      await view.page.waitForFunction(() => /3 repetitions/.test(document.getElementById('live').textContent));
      await view.page.locator('underfoot-set [part=result]').waitFor();
      await view.context.close();
      return view.complaints;
    },
  ],
  [
    'worker',
    'trusted types: the policy `underfoot`',
    async (t) => {
      const dir = await copy(t, 'worker');
      const view = await watched(t.chromium, await serve(t, dir, `${POLICY}; require-trusted-types-for 'script'; trusted-types underfoot`));
      await view.page.waitForFunction(() => document.getElementById('cue').textContent.length > 10);
      await view.context.close();
      // The browser notes the attempt that bundlers need to see; the next one has a policy.
      return view.complaints.filter((text) => !text.includes("requires 'TrustedScriptURL'"));
    },
  ],
  [
    'node',
    '',
    async (t) => {
      const { stdout, stderr } = await run('node', ['read.mjs'], { cwd: await copy(t, 'node') });
      if (stdout.split('\n').filter((line) => line.startsWith('repetition ')).length !== 3) throw new Error(stdout);
      return stderr ? [stderr] : [];
    },
  ],
  [
    'types, strict',
    '',
    async (t) => {
      const dir = await copy(t, 'react', REACT);
      await run('node', [join(HERE, 'typescript/bin/tsc'), '-p', dir]).catch((error) => {
        throw new Error(error.stdout);
      });
      return [];
    },
  ],
  ...['vite6', 'vite7', 'vite'].flatMap((name) => {
    const words = name === 'vite' ? 'Vite 8' : `Vite ${name.slice(4)}`;
    return [
      [`${words} build`, '', (t) => viteBuild(t, name)],
      [`${words} development`, '', (t) => viteDev(t, name)],
    ];
  }),
  [
    'webpack 5',
    '',
    async (t) => {
      const dir = await copy(t, 'react', REACT);
      const { default: webpack } = await import('webpack');
      const { transform } = await import('esbuild');
      // A loader for TypeScript is the project's own matter.
      const { readFileSync } = await import('node:fs');
      for (const name of ['main', 'app']) {
        const { code } = await transform(readFileSync(join(dir, `src/${name}.tsx`), 'utf8'), { loader: 'tsx', jsx: 'automatic', target: 'es2022' });
        writeFileSync(join(dir, `src/${name}.js`), code.replace('./app.tsx', './app.js'));
      }
      const stats = await new Promise((resolve, reject) => {
        webpack(
          { mode: 'production', context: dir, entry: './src/main.js', output: { path: join(dir, 'dist') }, performance: false, resolve: { symlinks: false } },
          (error, stats) => (error ? reject(error) : resolve(stats)),
        );
      });
      const { errors, warnings } = stats.toJson();
      if (errors.length) throw new Error(errors[0].message);
      writeFileSync(
        join(dir, 'dist/index.html'),
        '<!doctype html><meta charset="utf-8"><link rel="icon" href="data:,"><main id="root"></main><script defer src="main.js"></script>',
      );
      return [...warnings.map((w) => w.message), ...(await shows(t, await serve(t, join(dir, 'dist'))))];
    },
  ],
  [
    'esbuild',
    'worker-main as a second entry; the folder wasm beside the bundle',
    async (t) => {
      const dir = await copy(t, 'react', REACT);
      const { build } = await import('esbuild');
      const { warnings } = await build({
        absWorkingDir: dir,
        entryPoints: { main: 'src/main.tsx', 'worker-main': 'underfoot/worker-main.js' },
        bundle: true,
        format: 'esm',
        splitting: false,
        jsx: 'automatic',
        outdir: 'dist',
        logLevel: 'silent',
        target: 'es2022',
        define: { 'process.env.NODE_ENV': '"production"' },
      });
      cpSync(join(dir, 'node_modules/underfoot/wasm'), join(dir, 'dist/wasm'), { recursive: true });
      writeFileSync(
        join(dir, 'dist/index.html'),
        '<!doctype html><meta charset="utf-8"><link rel="icon" href="data:,"><main id="root"></main><script type="module" src="main.js"></script>',
      );
      return [...warnings.map((w) => w.text), ...(await shows(t, await serve(t, join(dir, 'dist'))))];
    },
  ],
  ['Next build', '', (t) => next(t, ['build'], ['start'])],
  ['Next development', '', (t) => next(t, null, ['dev'])],
];

/** Next, installed beside the copy by npm. */
async function next(t, first, then) {
  const dir = await copy(t, 'next');
  rmSync(join(dir, 'node_modules'), { recursive: true });
  const kept = process.env.UNDERFOOT_NEXT;
  if (kept && existsSync(kept)) cpSync(kept, join(dir, 'node_modules'), { recursive: true, verbatimSymlinks: true });
  await run('npm', ['install', ...OFFLINE, '--no-save', tarball()], { cwd: dir, maxBuffer: 1 << 26 });
  const bin = join(dir, 'node_modules/next/dist/bin/next');
  const env = { ...process.env, NEXT_TELEMETRY_DISABLED: '1' };
  if (first)
    await run('node', [bin, ...first], { cwd: dir, env, maxBuffer: 1 << 26 }).catch((error) => {
      throw new Error(`${error.stdout}\n${error.stderr}`.slice(-1500));
    });
  const server = spawn('node', [bin, ...then, '-p', '0', '-H', '127.0.0.1'], { cwd: dir, env });
  t.after(() => server.kill());
  let text = '';
  const url = await new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(new Error(`no address in a minute: ${text}`)), 60_000);
    const read = (data) => {
      text += data;
      const found = text.match(/http:\/\/127\.0\.0\.1:\d+/);
      if (found && /Ready/.test(text)) {
        clearTimeout(late);
        resolve(`${found[0]}/`);
      }
    };
    server.stdout.on('data', read);
    server.stderr.on('data', read);
  });
  return shows(t, url);
}

/** Tries a row; gives what it says: 'first try', or what was wrong. */
export async function tried([name, said, attempt], chromium) {
  const ends = [];
  const t = { chromium, after: (end) => ends.unshift(end) };
  const start = performance.now();
  let result;
  try {
    const complaints = await attempt(t);
    result = complaints.length ? `complains: ${complaints[0]}` : 'first try';
  } catch (error) {
    result = `fails: ${error.message}`;
  }
  for (const end of ends) await end();
  return { name, said, result, seconds: (performance.now() - start) / 1000 };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const parts = process.argv.slice(2);
  const chromium = await browser();
  console.log('| set-up | to be said | result | s |\n|---|---|---|---|');
  let failed = false;
  for (const row of ROWS.filter(([name]) => parts.length === 0 || parts.some((part) => name.includes(part)))) {
    const { name, said, result, seconds } = await tried(row, chromium);
    failed ||= result !== 'first try';
    console.log(`| ${name} | ${said || 'nothing'} | ${result.slice(0, 600)} | ${seconds.toFixed(0)} |`);
  }
  await chromium.close();
  process.exitCode = failed ? 1 : 0;
}
