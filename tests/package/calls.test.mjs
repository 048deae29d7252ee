// Misuse gets a sentence with a code; what goes in in any accepted form means the same.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { before, test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { recording, run } from './harness.mjs';

const PKG = process.env.UNDERFOOT_PKG;
const entry = (name) => pathToFileURL(join(PKG, name)).href;
let u;
let early = {};

before(async () => {
  u = await import(entry('index.js'));
  // Before the module is loaded.
  for (const call of [() => u.analyze({}), () => new u.Session({}), () => u.defaultThresholds()]) {
    assert.throws(call, { name: 'UnderfootError', code: 'not-initialised', message: /await init\(\)/ });
  }
  await assert.rejects(u.compare([]), { name: 'UnderfootError', code: 'not-initialised', message: /await init\(\)/ });
  await assert.rejects(u.init(42), { code: 'bad-input', message: /a URL, a Response/ });
  await assert.rejects(u.init(new URL('file:///nowhere.wasm')), { code: 'load-failed', message: /could not be loaded/ });
  assert.throws(() => u.initSync('x'), { code: 'bad-input' });
  assert.throws(() => u.initSync(new Uint8Array(9)), { code: 'load-failed' });
  // A failed load can be tried again; two loads at once are one.
  early = await Promise.all([u.init(), u.init()]);
  await u.init();
  u.initSync(new Uint8Array(0));
  u.initSync();
});

const refused = (call, code, message, field) =>
  assert.throws(call, (error) => {
    assert.ok(error instanceof u.UnderfootError && error instanceof Error);
    assert.deepEqual({ code: error.code, message: error.message }, { code, message });
    if (field) assert.equal(error.field, field);
    return true;
  });

const session = (more) => new u.Session({ layout: 'coco-17', image: { width: 640, height: 480 }, ...more });

test('the version is the crate’s', async () => {
  const cargo = await readFile(new URL('../../Cargo.toml', import.meta.url), 'utf8');
  assert.equal(u.version, cargo.match(/^version = "(.*)"$/m)[1]);
  assert.equal(JSON.parse(await readFile(join(PKG, 'package.json'), 'utf8')).version, u.version);
  assert.deepEqual(early, [undefined, undefined]);
});

test('a wrong set-up names its field', () => {
  refused(() => new u.Session(), 'bad-input', 'setup: must be an object with `layout` and `image`');
  refused(
    () => session({ layout: 'x' }),
    'bad-input',
    'layout: not a known layout (known: blazepose-33, halpe-26, body-25, coco-wholebody-133, coco-17, or a joint map)',
    'layout',
  );
  refused(() => session({ image: { width: NaN, height: 4 } }), 'bad-input', 'image.width: not a finite number', 'image.width');
  refused(() => session({ lifter: { height_m: 180 } }), 'bad-input', 'lifter.height_m: must be from 0.8 to 2.6');
  refused(() => session({ hurts: 'no' }), 'bad-option', 'hurts: must be true or false');
  refused(() => session({ layout: { count: 3, joints: { left_hipp: 1 } } }), 'bad-input', "layout.joints.left_hipp: not a joint's name");
  refused(() => session().report({ serie: true }), 'bad-option', 'serie: not an option (known: series, thresholds, hurts, look_again_days)');
});

test('a wrong frame names its field and changes nothing', () => {
  const s = session();
  s.push(0, Array(17).fill([9, 9, 1]));
  refused(() => s.push(1, [1, 2]), 'bad-input', 'points: has 2 numbers, the layout has 17 points with x, y and score: 51');
  refused(() => s.push(1, new Float32Array(99)), 'bad-input', 'points: has 99 numbers, the layout has 17 points with x, y and score: 51');
  refused(() => s.push(1, [[1, 2]]), 'bad-input', 'points: has 1 points, the layout has 17');
  refused(() => s.push(1, 'points'), 'bad-input', 'points: must be a list of points, or null when nobody was found');
  refused(() => s.push(1, Array(17).fill(['9', 9])), 'bad-input', 'points[0].x: must be a number');
  refused(() => s.push(1, [Array(17).fill([9, 9]), Array(16).fill([9, 9])]), 'bad-input', 'people[1]: has 16 points, the layout has 17');
  refused(() => s.push('1', null), 'bad-input', 't_ms: must be a number of milliseconds');
  refused(() => s.push(NaN, null), 'bad-input', 't_ms: not a finite number');
  refused(() => s.push(-1, null), 'time-order', 't_ms: is before the frame before it');
  assert.throws(() => s.push(1, Array(17).fill({ x: 0.5, y: 0.4 })), { code: 'bad-input', message: /^points: are fractions of the picture/ });
  refused(() => s.push(1, null, [{ side: 'middle' }]), 'bad-input', "grey.side: must be 'left' or 'right' or 'both'");
  refused(() => s.push(1, null, [{ side: 'left', data: [1] }]), 'bad-input', 'grey.data: must be a Uint8Array with one byte of brightness for each pixel');
  assert.equal(s.recording().frames.length, 1);
  s.free();
});

test('a freed session says so, and frees twice', () => {
  const s = session();
  s.free();
  s.free();
  s[Symbol.dispose]?.();
  assert.equal(s.freed, true);
  for (const call of [() => s.push(0, null), () => s.report(), () => s.reset(), () => s.finish()]) {
    refused(call, 'freed', 'this session was freed: make a new one');
  }
});

test('bad recordings: text, emptiness, numbers, order', () => {
  const wide = { layout: 'coco-17', image: { width: 640, height: 480 } };
  assert.throws(() => u.analyze('{"layout":'), { code: 'bad-input', message: /^recording: not JSON/ });
  refused(() => u.analyze(null), 'bad-input', 'recording: must be an object with `layout`, `image` and `frames`');
  refused(() => u.analyze({ ...wide, frames: [] }), 'empty', 'frames: the recording holds no frame', 'frames');
  const points = Array.from({ length: 17 }, (_, i) => (i === 5 ? [Infinity, 1, 1] : [1, 1, 1]));
  refused(() => u.analyze({ ...wide, frames: [{ t_ms: 0, points }] }), 'bad-input', 'frames[0].points[5].x: not a finite number', 'frames[0].points[5].x');
  assert.throws(() => u.analyze({ ...wide, frames: [{ t_ms: 5 }, { t_ms: 4 }] }), { code: 'time-order', field: 'frames[1].t_ms' });
  // Objects that fight back.
  const hostile = {
    get layout() {
      throw new Error('no');
    },
    image: {},
    frames: [],
  };
  assert.throws(() => u.analyze(hostile), { code: 'bad-input', message: 'recording: could not be read' });
});

// An exception that went through the module would lock the session it went through, and after a hundred of
// them every call trapped.
test('what throws while it is read does no harm', async () => {
  const no = () => {
    throw new Error('no');
  };
  const getter = (key) => Object.defineProperty({}, key, { get: no, enumerable: true });
  const proxy = new Proxy([], { get: no });
  const setup = { layout: 'coco-17', image: { width: 640, height: 480 } };
  const s = session();
  const standing = Array(17).fill([9, 9, 1]);
  const calls = [
    () =>
      new u.Session({
        ...setup,
        get image() {
          no();
        },
      }),
    () => new u.Session({ ...setup, image: getter('width') }),
    () => new u.Session({ ...setup, thresholds: getter('knee_in_deg') }),
    () => new u.Session({ ...setup, layout: { count: 3, joints: getter('left_hip') } }),
    () => u.analyze({ ...setup, frames: proxy }),
    () => u.analyze({ ...setup, frames: [getter('t_ms')] }),
    () => u.analyze({ ...setup, frames: [{ t_ms: 0, points: proxy }] }),
    () => u.analyze({ ...setup, frames: [{ t_ms: 0, points: standing }] }, getter('series')),
    () => s.report(getter('series')),
    () => s.push(0, Array(17).fill(getter('x'))),
    () => s.push(0, proxy),
  ];
  for (let round = 0; round < 20; round++) {
    for (const call of calls) assert.throws(call);
    for (const reports of [proxy, [getter('reps')]]) await assert.rejects(u.compare(reports));
  }
  s.push(0, standing);
  assert.equal(s.recording().frames.length, 1);
  assert.equal(s.report().reps.length, 0);
  s.free();
});

test('times in seconds and fractions of the picture are refused, pushed or analysed', () => {
  const setup = { layout: 'coco-17', image: { width: 640, height: 480 } };
  const frames = Array.from({ length: 90 }, (_, i) => ({ t_ms: i / 30, points: Array(17).fill([100, 200, 1]) }));
  assert.throws(() => u.analyze({ ...setup, frames }), { code: 'bad-input', field: 'frames[30].t_ms', message: /seconds/ });
  const s = session();
  assert.throws(() => frames.forEach(({ t_ms, points }) => s.push(t_ms, points)), { field: 't_ms', message: /seconds/ });
  s.free();
  const points = Array(17).fill([0.4, 0.6, 1]);
  assert.throws(() => u.analyze({ ...setup, frames: [{ t_ms: 0, points }] }), { field: 'frames[0].points', message: /fractions/ });
});

test('every accepted form of a frame means the same', () => {
  const {
    frames: [{ points }],
    ...setup
  } = recording();
  const forms = {
    lists: points,
    flat: points.flat(),
    doubles: Float64Array.from(points.flat()),
    objects: points.map(([x, y, score]) => ({ x, y, score })),
    visibility: points.map(([x, y, visibility]) => ({ x, y, visibility })),
    people: [points],
    flatPeople: [points.flat()],
    typedPeople: [Float64Array.from(points.flat())],
  };
  for (const [name, form] of Object.entries(forms)) {
    const s = new u.Session(setup);
    s.push(0, form);
    assert.deepEqual(s.recording(), { ...setup, frames: [{ t_ms: 0, points }] }, name);
    s.free();
  }
  const s = new u.Session(setup);
  s.push(0, null);
  s.push(1, []);
  s.push(2, [points, null, points]);
  s.push(
    3,
    points.map((p, i) => (i === 4 ? null : p)),
  );
  const [nobody, none, two, holed] = s.recording().frames;
  assert.deepEqual([nobody.points, none.points, two.people.length, holed.points[4]], [null, null, 2, null]);
  s.free();
});

test('a session, its recording and the analysis of it agree, with and without curves', () => {
  for (const name of ['side-heel-lift', 'front-knees-in']) {
    const whole = recording(name);
    const s = new u.Session(whole);
    const heard = [];
    s.addEventListener('rep', ({ detail }) => heard.push(detail.index));
    const told = [];
    s.addEventListener('set', ({ detail }) => told.push(detail.reps.length));
    for (const { t_ms, points } of whole.frames) s.push(t_ms, points);
    assert.deepEqual(heard, [1, 2, 3]);
    const report = s.finish({ series: true });
    assert.deepEqual(told.at(-1), 3);
    assert.deepEqual(heard, [1, 2, 3]);
    assert.deepEqual(report, u.analyze(whole, { series: true }));
    assert.deepEqual(s.report(), u.analyze(JSON.stringify(s.recording())));
    assert.equal(report.series.t_ms.length, report.series.forward_pct.length);
    assert.equal('series' in s.report(), false);
    // Plain data: it survives JSON and structuredClone unchanged.
    assert.deepEqual(JSON.parse(JSON.stringify(report)), report);
    s.reset();
    assert.deepEqual([s.live.reps, s.recording().frames.length], [0, 0]);
    for (const { t_ms, points } of whole.frames) s.push(t_ms, points);
    assert.deepEqual(s.report({ series: true }), report);
    s.free();
  }
});

test('settings go along with a recording: the same report again', () => {
  const whole = recording('front-knees-in');
  const settings = { thresholds: { knee_in_deg: { high: 3 } }, hurts: true, look_again_days: 3 };
  const s = new u.Session({ ...whole, ...settings });
  for (const { t_ms, points } of whole.frames) s.push(t_ms, points);
  const report = s.finish();
  assert.equal(report.cue.id, 'stop');
  assert.deepEqual(u.analyze(s.recording(), s.options), report);
  s.free();
});

test('two sets in one session: each event carries its own, and a repetition is told once', async () => {
  const whole = recording('front-knees-in');
  const s = new u.Session(whole);
  const heard = [];
  s.addEventListener('rep', () => heard.push('rep'));
  s.addEventListener('set', ({ detail }) => heard.push(detail));
  const end = whole.frames.at(-1).t_ms;
  const nobody = async (from) => {
    for (let i = 1; i < 110; i++) s.push(from + 40 * i, null);
    await new Promise((resolve) => setTimeout(resolve, 50));
  };
  for (const { t_ms, points } of whole.frames) s.push(t_ms, points);
  await nobody(end);
  const again = end + 6000;
  for (const { t_ms, points } of whole.frames) s.push(again + t_ms, points);
  await nobody(again + end);
  const words = heard.map((one) => (one === 'rep' ? one : `set of ${one.reps.length}`));
  assert.deepEqual(words, ['rep', 'rep', 'rep', 'set of 3', 'rep', 'rep', 'rep', 'set of 3']);
  assert.ok(heard[7].reps.every((rep) => rep.start_ms > end));
  // The end is told once more when the host says so, with the same report and no repetition twice; also after the lifter came back.
  const { final, ...report } = heard[7];
  assert.equal(final, true);
  assert.deepEqual(s.finish(), report);
  for (const { t_ms, points } of whole.frames.slice(0, 60)) s.push(again + end + 6000 + t_ms, points);
  assert.deepEqual(s.finish(), report);
  assert.deepEqual(heard.slice(8), [heard[7], heard[7]]);
  s.free();
});

test('null for frames without a person costs standing nothing', () => {
  const whole = recording('front-knees-in');
  const read = (keep) => {
    const s = new u.Session(whole);
    whole.frames.forEach(({ t_ms, points }, i) => s.push(t_ms, keep(i) ? points : null));
    const report = s.report();
    s.free();
    return report;
  };
  // One frame in ten is empty, as estimators have it.
  const report = read((i) => i % 10 !== 7);
  assert.notEqual(report.standing, null);
  assert.equal(report.reps.length, 3);
});

test('live values come with their errors, peak near the repetition’s own, and are null before standing', () => {
  const whole = recording('front-knees-in');
  const s = new u.Session(whole);
  assert.equal(s.values().forward_pct, null);
  let [most, inside] = [-Infinity, false];
  const last = u.analyze(whole).reps.at(-1);
  for (const { t_ms, points } of whole.frames) {
    s.push(t_ms, points);
    const knee = s.values().knee_in_deg.left;
    inside = t_ms >= last.start_ms && t_ms <= last.end_ms;
    if (inside && knee) {
      assert.ok(knee.sd > 0 && knee.sd < 5, `${knee.sd}`);
      most = Math.max(most, knee.value);
    }
  }
  const own = last.knee_in_deg.left;
  assert.ok(Math.abs(most - own.value) < 3 * own.sd, `${most} beside ${own.value}`);
  s.free();
  assert.throws(() => s.values(), { code: 'freed' });
});

test('the layouts’ table is the module’s: as a joint map it reads every recording alike', () => {
  const { joints } = u;
  assert.equal(joints.length, 23);
  const blaze = recording();
  for (const [layout, { count, joints: places }] of Object.entries(u.layouts)) {
    // The same body in this layout's order.
    const frames = blaze.frames.map(({ t_ms, points }) => {
      const out = Array.from({ length: count }, () => null);
      for (const [joint, at] of Object.entries(places)) out[at] = points[u.layouts['blazepose-33'].joints[joint] ?? 31];
      return { t_ms, points: out };
    });
    const read = (named) => u.analyze({ ...blaze, layout: named, frames });
    const byName = read(layout);
    assert.equal(byName.reps.length, 3, layout);
    // One toe point at the tip is the property of a layout that has no small toes.
    assert.deepEqual(byName, read({ count, joints: places }), layout);
  }
});

test('thresholds are data with sources; two sets of one lifter are compared', async () => {
  const lines = u.defaultThresholds();
  assert.deepEqual(Object.keys(lines), ['heel_lift_mm', 'knee_in_deg', 'foot_roll_deg', 'forward_pct', 'load_left_pct']);
  for (const { source, changed } of Object.values(lines)) {
    assert.ok(source.length > 10);
    assert.equal(changed, false);
  }
  const [side, front] = ['side-heel-lift', 'front-knees-in'].map((name) => u.analyze(recording(name)));
  const changes = await u.compare([
    { ...front, day: 1 },
    { ...front, day: 8 },
  ]);
  assert.ok(changes.length > 0);
  for (const change of changes) assert.deepEqual([change.outcome, change.difference], ['no-real-change', 0]);
  assert.ok((await u.compare([side, front])).every((change) => change.view_changed));
  // The earliest is given first: where it is, and what it was, is not turned round.
  const mean = (report, { check, side: foot }) => {
    const values = report.reps.map((rep) => (foot ? rep[check][foot] : rep[check]).value).filter((value) => value !== null);
    return values.reduce((a, b) => a + b) / values.length;
  };
  const turned = (await u.compare([side, front])).filter((c) => Math.abs(c.earlier - mean(side, c)) + Math.abs(c.later - mean(front, c)) > 1e-6);
  assert.deepEqual(turned, []);
  await assert.rejects(u.compare([front]), { code: 'empty', message: 'reports: a comparison needs at least two', field: 'reports' });
  await assert.rejects(u.compare([front, { schema: 1 }]), { code: 'bad-input', message: 'reports[1].reps: missing', field: 'reports[1].reps' });
  // A coach's line is read, marked and refused like any other field.
  const moved = u.analyze(recording('front-knees-in'), { thresholds: { knee_in_deg: { high: 30 } } });
  for (const rep of moved.reps) assert.deepEqual([rep.knee_in_deg.left.threshold_changed, rep.heel_lift_mm.left.threshold_changed], [true, undefined]);
  refused(() => session({ thresholds: { knee_in_deg: { high: 'x' } } }), 'bad-option', 'thresholds.knee_in_deg.high: must be a number');
  assert.equal(u.analyze(recording('front-knees-in'), { look_again_days: 3 }).cue.look_again_days, 3);
});

test('parts of the module: one download each however often asked for, nothing before it is needed, and errors that say which', async () => {
  const script = `
    const u = await import(${JSON.stringify(entry('index.js'))});
    const { recording } = await import(${JSON.stringify(new URL('harness.mjs', import.meta.url).href)});
    const { readFileSync } = await import('node:fs');
    // As a page has it: nothing on a disk, everything fetched.
    const asked = [];
    process.getBuiltinModule = undefined;
    globalThis.fetch = async (url) => {
      asked.push(String(url).match(/underfoot_(\\w+)/)[1]);
      return new Response(readFileSync(new URL(url)), { headers: { 'Content-Type': 'application/wasm' } });
    };
    const told = [];
    const kind = (call) => { try { call(); return 'done'; } catch ({ code, message }) { return code + ' ' + message.match(/await \`(.*?)\`/)?.[1]; } };
    const whole = recording();
    await Promise.all([u.initLive(), u.initLive()]);
    const s = new u.Session(whole);
    const seen = new Promise((resolve) => s.addEventListener('set', resolve));
    for (const { t_ms, points } of whole.frames) s.push(t_ms, points);
    told.push(asked.join(), kind(() => s.report()), kind(() => u.analyze(whole)), s.live.reps);
    // The set's event fetches what its report needs.
    for (let i = 1; i < 100; i++) s.push(whole.frames.at(-1).t_ms + 40 * i, null);
    await seen;
    told.push(asked.join());
    await Promise.all([u.init(), u.init()]);
    told.push(asked.join(), kind(() => s.report()), kind(() => u.analyze(whole)));
    const report = s.report();
    await Promise.all([u.compare([report, report]), u.compare([report, report])]);
    await Promise.all([u.initPicture(), u.initPicture()]);
    told.push(asked.join());
    console.log(JSON.stringify(told));`;
  const { stdout, stderr } = await run('node', ['--input-type=module', '-e', script]);
  assert.equal(stderr, '');
  const need = 'not-initialised init()';
  assert.deepEqual(JSON.parse(stdout), ['bg', need, need, 3, 'bg,report', 'bg,report', 'done', 'done', 'bg,report,compare,picture']);
});

test('importing runs nothing, on a server too; the inline entry needs no file', async () => {
  const script = `
    const before = Object.keys(globalThis).length;
    for (const entry of ['index', 'inline', 'adapters', 'worker', 'element', 'define', 'worker-main']) await import(${JSON.stringify(entry('x.js').slice(0, -4))} + entry + '.js');
    if (Object.keys(globalThis).length !== before) throw new Error('globals');
    globalThis.fetch = () => { throw new Error('fetched'); };
    const { init, analyze, version } = await import(${JSON.stringify(entry('inline.js'))});
    await init();
    try { analyze({}); } catch ({ code }) { console.log(version, code); }`;
  const { stdout, stderr } = await run('node', ['--input-type=module', '-e', script]);
  assert.equal(stdout, `${u.version} bad-input\n`);
  assert.equal(stderr, '');
});
