// The declarations and the report's schema against what there is at run time, and the package against its checkers (publint, attw).
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { test } from 'node:test';
import { fileURLToPath, pathToFileURL } from 'node:url';
import Ajv from 'ajv';
import { inProject, recording, tarball } from './harness.mjs';
import { schemaText } from './schema.mjs';

const PKG = process.env.UNDERFOOT_PKG;
const load = (name) => import(pathToFileURL(join(PKG, name)).href);
const u = await load('index.js');
await u.init();

/** Reports of every kind that is at hand: with faults, with curves, with lines moved, without repetitions, without standing. */
const reports = () => {
  const [side, front] = ['side-heel-lift', 'front-knees-in'].map(recording);
  const few = { ...front, frames: front.frames.slice(0, 60) };
  const none = { ...front, frames: [{ t_ms: 0, points: null }] };
  // Five times as quick once the lifter has stood: no squats.
  const at = front.frames[50].t_ms;
  const quick = { ...front, frames: front.frames.map((frame) => ({ ...frame, t_ms: Math.min(frame.t_ms, at + (frame.t_ms - at) / 5) })) };
  // Of no known estimator, with a field of its own.
  const own = { ...side, estimator: 'one of my own', more: 1 };
  const seen = [side, front, few, none, quick, own].flatMap((whole) => [
    u.analyze(whole),
    u.analyze(whole, { series: true, hurts: true, thresholds: { knee_in_deg: { high: 3 } } }),
  ]);
  // A curve's first values are enough.
  for (const { series } of seen) if (series) cut(series);
  return seen;
};
function cut(tree) {
  for (const value of Object.values(tree)) {
    if (Array.isArray(value)) value.length = Math.min(value.length, 3);
    else if (value && typeof value === 'object') cut(value);
  }
}

test('every name that is exported is declared and every one declared is there; objects have the declared members and no others', async (t) => {
  const dir = mkdtempSync(join(tmpdir(), 'underfoot-'));
  t.after(() => rmSync(dir, { recursive: true, force: true }));
  const lines = [];
  const fresh = (type, value) => lines.push(`{ const fresh: ${type} = ${JSON.stringify(value)}; void fresh; }`);
  const names = (type, list) =>
    lines.push(`{ const names: Record<${type}, true> = { ${list.map((name) => `${JSON.stringify(name)}: true`).join(', ')} }; void names; }`);
  for (const entry of ['index', 'inline', 'adapters', 'worker', 'element', 'define', 'example', 'jsx']) {
    names(`keyof typeof import('./pkg/${entry}.js')`, Object.keys(await load(`${entry}.js`)));
  }
  const members = (type, prototype) =>
    names(
      `Exclude<Extract<keyof ${type}, string>, keyof EventTarget | keyof HTMLElement>`,
      Object.getOwnPropertyNames(prototype).filter(
        (name) => !['constructor', 'connectedCallback', 'disconnectedCallback', 'attributeChangedCallback', 'call', 'forget'].includes(name),
      ),
    );
  const { UnderfootWorker, WorkerSession } = await load('worker.js');
  const { UnderfootSet } = await load('element.js');
  members("import('./pkg/index.js').Session", u.Session.prototype);
  members("import('./pkg/worker.js').UnderfootWorker", UnderfootWorker.prototype);
  members("import('./pkg/worker.js').WorkerSession", WorkerSession.prototype);
  lines.push(
    `{ const names: Record<Exclude<keyof import('./pkg/element.js').UnderfootSet, keyof HTMLElement>, true> = { ${Object.getOwnPropertyNames(
      UnderfootSet.prototype,
    )
      .filter((name) => !/constructor|Callback/.test(name))
      .map((name) => `${name}: true`)
      .join(', ')} }; void names; }`,
  );
  for (const report of reports()) fresh("import('./pkg/index.js').Report", report);
  const whole = recording('front-knees-in');
  const session = new u.Session(whole);
  const told = [];
  for (const [name, type] of Object.entries({ rep: 'RepEvent', set: 'SetEvent' })) session.addEventListener(name, ({ detail }) => told.push([type, detail]));
  const lives = whole.frames.map(({ t_ms, points }) => session.push(t_ms, points));
  for (const live of [lives[0], lives.at(-1), lives.find((live) => live.rep_done)]) fresh("import('./pkg/index.js').Live", live);
  session.finish();
  assert.equal(told.length, 4);
  for (const [type, detail] of told) fresh(`import('./pkg/index.js').${type}`, detail);
  fresh("import('./pkg/index.js').LiveValues", session.values());
  fresh("ReturnType<import('./pkg/index.js').Session['feet']>", session.feet());
  const again = session.recording();
  fresh("import('./pkg/index.js').Recording", { ...again, frames: again.frames.slice(0, 2) });
  fresh("ReturnType<typeof import('./pkg/index.js').defaultThresholds>", u.defaultThresholds());
  const [report] = reports();
  fresh(
    "import('./pkg/index.js').Change[]",
    await u.compare([
      { ...report, day: 1 },
      { ...report, day: 8 },
    ]),
  );
  session.free();

  writeFileSync(join(dir, 'check.ts'), lines.join('\n'));
  writeFileSync(
    join(dir, 'tsconfig.json'),
    JSON.stringify({
      compilerOptions: {
        target: 'es2022',
        module: 'esnext',
        moduleResolution: 'bundler',
        lib: ['es2022', 'dom', 'dom.iterable', 'esnext.disposable'],
        strict: true,
        noEmit: true,
        types: [],
        exactOptionalPropertyTypes: true,
        skipLibCheck: false,
      },
      include: ['check.ts'],
    }),
  );
  const { cpSync, symlinkSync } = await import('node:fs');
  cpSync(PKG, join(dir, 'pkg'), { recursive: true });
  symlinkSync(fileURLToPath(new URL('node_modules', import.meta.url)), join(dir, 'node_modules'));
  const tsc = fileURLToPath(new URL('node_modules/typescript/bin/tsc', import.meta.url));
  try {
    execFileSync('node', [tsc, '-p', dir], { encoding: 'utf8', maxBuffer: 1 << 26 });
  } catch (error) {
    assert.fail(String(error.stdout).slice(0, 3000));
  }
});

test('the schema is what the declarations give', () => {
  assert.equal(readFileSync(inProject('pkg-template/report.schema.json'), 'utf8'), schemaText(), 'node tests/package/schema.mjs makes it anew');
});

test('reports are what the schema says, and nothing else', () => {
  const schema = JSON.parse(readFileSync(join(PKG, 'report.schema.json'), 'utf8'));
  const valid = new Ajv({ strict: false, allErrors: true }).compile(schema);
  for (const report of reports()) assert.ok(valid(report), JSON.stringify(valid.errors?.slice(0, 3), null, 1));
  // Kinds and codes that some of them have.
  const said = new Set(reports().flatMap((report) => [report.finding.kind, ...report.notes.map((note) => note.code)]));
  for (const name of ['not-squats', 'too-quick', 'unknown-fields', 'unknown-estimator']) assert.ok(said.has(name), name);
  // It tells what is no report.
  const [report] = reports();
  for (const other of [
    {},
    { ...report, schema: 2 },
    { ...report, more: 1 },
    { ...report, finding: { ...report.finding, kind: 'x' } },
    { ...report, reps: [{}] },
  ])
    assert.ok(!valid(other));
});

test('publint and attw find nothing', async () => {
  const { publint } = await import('publint');
  const { messages } = await publint({ pkgDir: PKG, strict: true });
  // Its address is a placeholder until there is one.
  assert.deepEqual(
    messages.filter((m) => m.code !== 'INVALID_REPOSITORY_VALUE').map((m) => m.code),
    [],
  );
  const attw = await import('@arethetypeswrong/core');
  const found = await attw.checkPackage(attw.createPackageFromTarballData(new Uint8Array(readFileSync(tarball()))));
  // The package is for ES modules, and its .wasm and .json files have no types.
  const wanted = (problem) => !['node10', 'node16-cjs'].includes(problem.resolutionKind) && !/\.(wasm|json)$|worker-main/.test(problem.entrypoint ?? '');
  assert.deepEqual(found.problems.filter(wanted), []);
});
