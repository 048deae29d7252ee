// Links and files between a coach and a client: what goes in comes out, strangers' bytes do no harm.
import assert from 'node:assert/strict';
import test from 'node:test';
import { gzip } from '../../www/vendor/pako/pako.js';
import { encode } from '../../www/vendor/cborg/cborg.js';
import { decodeCheck, encodeCheck } from '../../www/share/check-link.js';
import { open, seal, toFragment } from '../../www/share/envelope.js';
import { asSent, decodeResult, encodeResult } from '../../www/share/result-file.js';
import { fileName } from '../../www/share/file-name.js';
import { readLink } from '../../www/share/find-link.js';
import { decodeSummary, encodeSummary, summarise } from '../../www/share/result-link.js';
import { fromText, toText } from '../../www/share/result-text.js';
import { cleanLines, cleanText } from '../../www/share/text.js';
import { exampleCheck, exampleRecording, exampleReport } from './examples.mjs';

const sent = (recording, report = exampleReport()) => ({
  made_with: '0.1.0',
  day: '2026-11-25',
  lifter: 'Robin',
  note: '',
  check: exampleCheck,
  sets: [{ recording, report, thresholds: exampleCheck.thresholds, wanted: 'front' }],
});
const code = (run) => {
  try {
    run();
    return 'taken';
  } catch (error) {
    return error.code ?? String(error);
  }
};

test('a usual check comes back whole, in under 300 characters', () => {
  const fragment = encodeCheck(exampleCheck);
  console.log(`check link: ${fragment.length} characters after '#'`);
  assert.ok(fragment.length < 300);
  assert.deepEqual(decodeCheck(`#${fragment}`), exampleCheck);
});

test('a result file holds every point the core uses, to an eighth of a pixel', () => {
  for (const people of [1, 3]) {
    const recording = exampleRecording(90, people);
    const back = decodeResult(encodeResult(sent(recording))).sets[0].recording;
    assert.equal(back.frames.length, recording.frames.length);
    assert.deepEqual([back.layout, back.image, back.lifter], [recording.layout, recording.image, recording.lifter]);
    recording.frames.forEach((frame, i) => {
      const before = (frame.people ?? [frame.points]).filter(Boolean);
      const after = (back.frames[i].people ?? [back.frames[i].points]).filter(Boolean);
      assert.equal(after.length, before.length);
      assert.ok(Math.abs(back.frames[i].t_ms - frame.t_ms) <= 0.05 + 1e-9);
      before.forEach((person, p) =>
        [5, 11, 15, 20, 24].forEach((j) => {
          assert.ok(Math.abs(after[p][j][0] - person[j][0]) <= 1 / 16 + 1e-9);
          assert.ok(Math.abs(after[p][j][1] - person[j][1]) <= 1 / 16 + 1e-9);
          assert.ok(Math.abs(after[p][j][2] - person[j][2]) <= 0.011);
        }),
      );
    });
  }
});

test('a result file holds what the pictures of the feet said, to a twentieth of a mm and an eighth of a pixel', () => {
  const recording = exampleRecording(90);
  const back = decodeResult(encodeResult(sent(recording))).sets[0].recording;
  const near = (a, b, step) => (b == null ? assert.equal(a ?? null, null) : b.forEach((v, k) => assert.ok(Math.abs(a[k] - v) <= step / 2 + 1e-9)));
  recording.frames.forEach((frame, i) => {
    assert.equal(back.frames[i].feet === undefined, frame.feet === undefined, `frame ${i}`);
    for (const side of ['left', 'right']) {
      const [then, now] = [frame.feet?.[side], back.frames[i].feet?.[side]];
      assert.equal(now === undefined, then === undefined, `frame ${i}, ${side}`);
      near(now?.heel_lift_mm, then?.heel_lift_mm, 1 / 20);
      near(now?.foot_roll_deg, then?.foot_roll_deg, 1 / 20);
      assert.deepEqual(now?.set_by, then?.set_by, `frame ${i}, ${side}`);
      then?.contacts_px.forEach((at, k) => near(now.contacts_px[k], at, 1 / 8));
    }
  });
  assert.equal(decodeResult(encodeResult(sent(exampleRecording(9, 3)))).sets[0].recording.frames[0].feet, undefined);
});

test('marks of feet and shins go along, on the clock of the file', () => {
  const joints = { left_knee: [404.75, 107], left_ankle: [412.5, 267.75], left_heel: [401.5, 284.5], left_big_toe: [449, 307.75], right_heel: null };
  const { frames, ...setup } = exampleRecording(90);
  // The recording's clock began long before its first frame; the still picture is a moment later.
  const recording = { ...setup, frames: frames.map((f) => ({ ...f, t_ms: f.t_ms + 7_000_000 })), marks: { t_ms: 7_000_900, joints } };
  const file = encodeResult(sent(recording));
  const { marks, frames: back } = decodeResult(file).sets[0].recording;
  const { right_heel: _, ...made } = joints;
  assert.deepEqual(marks, { t_ms: 900, joints: made });
  assert.equal(back[0].t_ms, 0);
  assert.equal(decodeResult(encodeResult(sent(exampleRecording(9)))).sets[0].recording.marks, undefined);
});

test('packing twice changes nothing: both sides compute from equal points', () => {
  const marks = { t_ms: 900, joints: { left_heel: [401.5, 284.5] } };
  const once = asSent({ ...exampleRecording(), marks });
  assert.deepEqual(asSent(once), once);
  assert.deepEqual(once.marks, marks);
});

test('the check that a result answers comes back with it', () => {
  assert.deepEqual(decodeResult(encodeResult(sent(exampleRecording()))).check, exampleCheck);
});

test('a summary link comes back, in under 2,000 characters for four views', () => {
  const set = summarise(exampleReport(5), false);
  // Four views with values of their own, so that nothing compresses away.
  const sets = [0, 1, 2, 3].map((v) => ({
    ...set,
    cue: `${set.cue} ${v}`,
    checks: set.checks.map((c, i) => ({ ...c, median: c.median + ((v * 7 + i * 3) % 11) / 10, sd: c.sd + ((v * 5 + i) % 7) / 10 })),
  }));
  const summary = { day: '2026-11-25', lifter: 'Robin', sets };
  const fragment = encodeSummary(summary);
  console.log(`summary link: ${fragment.length} characters after '#'`);
  assert.ok(fragment.length < 2000);
  const back = decodeSummary(fragment);
  assert.equal(back.sets[0].finding, 'inward');
  assert.equal(back.sets[0].checks.find((c) => c.check === 'knee_in_deg' && c.side === 'left').median, 10.3);
  assert.equal(back.sets[0].checks.length, set.checks.length);
});

test('a newer version, a changed byte, another kind and plain noise are told apart', () => {
  const fragment = encodeCheck(exampleCheck);
  assert.equal(
    code(() => decodeCheck(toFragment('check', seal('check', 3, [])))),
    'newer',
  );
  const changed = `${fragment.slice(0, -20)}${fragment.at(-20) === 'A' ? 'B' : 'A'}${fragment.slice(-19)}`;
  assert.equal(
    code(() => decodeCheck(changed)),
    'damaged',
  );
  assert.equal(
    code(() => decodeCheck(fragment.slice(0, -9))),
    'damaged',
  );
  assert.equal(
    code(() => decodeCheck('result.AAAA')),
    'not-ours',
  );
  assert.equal(
    code(() => decodeResult(new TextEncoder().encode('hello, this is no result file'))),
    'not-ours',
  );
});

test('a decompression bomb is refused early', () => {
  const bomb = gzip(new Uint8Array(200_000_000));
  const before = process.memoryUsage().arrayBuffers;
  assert.equal(
    code(() => decodeResult(bomb)),
    'too-large',
  );
  assert.ok(process.memoryUsage().arrayBuffers - before < 50e6);
});

test('deeply nested and oversized structures are refused as damaged', () => {
  let nested = [];
  for (let i = 0; i < 1000; i += 1) nested = [nested];
  assert.equal(
    code(() => decodeCheck(toFragment('check', gzip(encode(['check', 1, nested]))))),
    'damaged',
  );
  const open = new Uint8Array(100_000).fill(0x81); // arrays of one, without end
  assert.equal(
    code(() => decodeResult(gzip(open))),
    'damaged',
  );
});

test('text is text: no control, direction-override or invisible characters, and a capped length', () => {
  assert.equal(cleanText('a\u202Eb\u0000c\u200Bd\n<b>', 40), 'a b c d <b>');
  assert.equal([...cleanText('🏋'.repeat(500), 30)].length, 30);
  assert.equal(cleanText('\ud800x', 10), '\ufffdx');
  assert.equal(cleanText(42, 10), '');
});

test('that something hurts goes along in the file and in the summary, without a cue; older ones did not say', () => {
  const file = { ...sent(exampleRecording()), sets: [{ ...sent(exampleRecording()).sets[0], hurts: true }] };
  assert.equal(decodeResult(encodeResult(file)).sets[0].hurts, true);
  const summary = {
    day: '2026-11-25',
    lifter: 'Robin',
    sets: [summarise({ ...exampleReport(), finding: { ...exampleReport().finding, not_judged: ['load_left_pct', 'heel_lift_mm'] } }, true)],
  };
  const [back] = decodeSummary(encodeSummary(summary)).sets;
  assert.deepEqual([back.hurts, back.cue, back.not_judged], [true, '', ['heel_lift_mm', 'load_left_pct']]);
  const { check, ...rest } = sent(exampleRecording());
  const { payload } = open(encodeResult({ ...rest, check }), 'result', 9);
  for (const set of payload.sets) delete set.hurts;
  assert.equal(decodeResult(seal('result', 1, payload)).sets[0].hurts, null);
  assert.equal(
    code(() => decodeResult(seal('result', 2, payload))),
    'damaged',
  );
});

test('a check of version 1 has no ref', () => {
  const { payload } = open(decodeFragment(encodeCheck(exampleCheck)), 'check', 9);
  assert.deepEqual(decodeCheck(toFragment('check', seal('check', 1, payload.slice(0, 8)))), { ...exampleCheck, ref: null });
});

function decodeFragment(fragment) {
  return Uint8Array.from(Buffer.from(fragment.slice(fragment.indexOf('.') + 1), 'base64url'));
}

test('what chat and mail programs do to a link does not harm it', () => {
  const fragment = encodeCheck(exampleCheck);
  const address = `https://example.org/underfoot/#${fragment}`;
  const wrapped = (width, end) => address.match(new RegExp(`.{1,${width}}`, 'g')).join(end);
  const broken = {
    'a full stop': `${address}.`,
    brackets: `(${address})`,
    'angle brackets': `<${address}>`,
    quotes: `"${address}"`,
    'curly quotes': `“${address}”`,
    emphasis: `*${address}*`,
    underlined: `_${address}_`,
    'a parameter before': `https://example.org/underfoot/?utm_source=chat#${fragment}`,
    'parameters after': `${address}&utm_source=chat`,
    'a question mark after': `${address}?fbclid=abc`,
    '%23': `https://example.org/underfoot/%23${fragment}`,
    '%23 and %2E': address.replace('#check.', '%23check%2E'),
    'encoded twice': address.replace('#', '%2523'),
    'all encoded': [...fragment].map((c) => `%${c.charCodeAt(0).toString(16)}`).join(''),
    'as a parameter': `https://away.example/?to=https%3A%2F%2Fexample.org%2F%23${fragment}&h=1`,
    wrapped: wrapped(76, '\n'),
    'wrapped with returns': wrapped(60, '\r\n'),
    'a quoted mail': wrapped(70, '\n> '),
    'quoted-printable': wrapped(70, '=\n'),
    'encoded line ends': wrapped(76, '%0A'),
    spaces: wrapped(90, ' '),
    'zero-width spaces': wrapped(30, '\u200b'),
    'in a message': `Hi, here is the check:\n${address}\nThanks! Film from the front.`,
    'a capital mark': address.replace('check', 'Check'),
    'wrapped, then words': `${wrapped(76, '\n')}\nThanks for filming`,
    HTML: `<a href="${address}">the check</a>`,
    'two links': `https://example.org/\n${address}`,
  };
  for (const [what, text] of Object.entries(broken)) {
    const link = readLink(text);
    assert.deepEqual([link.kind, link.fragment], ['check', fragment], what);
    assert.deepEqual(link.check, exampleCheck, what);
  }
  const summary = encodeSummary({ day: '2026-11-25', lifter: 'Robin', sets: [summarise(exampleReport(), false)] });
  assert.equal(readLink(`see https://example.org/#${summary}).`).summary.lifter, 'Robin');
  for (const [text, expected] of [
    [address.slice(0, -9), 'damaged'],
    ['https://example.org/#che', 'not-ours'],
    ['Please check. H4sI is nothing.', 'not-ours'],
    ['', 'not-ours'],
    [toFragment('check', seal('check', 7, [])), 'newer'],
    [`check.H4sI${'A'.repeat(70_000)}`, 'too-large'],
  ]) {
    assert.equal(
      code(() => readLink(text)),
      expected,
      text.slice(0, 40),
    );
  }
});

test('a result file as text comes back byte for byte, also out of a quoted mail', () => {
  const bytes = encodeResult(sent(exampleRecording()));
  const text = toText(bytes);
  assert.ok(
    text
      .split('\n')
      .slice(2)
      .every((line) => line.length <= 76),
  );
  for (const way of [text, `Hi coach,\n\n${text}\nBye`, text.replaceAll('\n', '\r\n'), text.replaceAll('\n', '\n> '), text.replaceAll('\n', ' ')])
    assert.deepEqual(fromText(way), bytes);
  assert.equal(fromText('no file in here'), null);
  for (const bad of [text.slice(0, -200), text.replace('underfoot-file:\n', 'underfoot-file:\n*'), `underfoot-file:${'A'.repeat(5e6)}:end`])
    assert.match(
      code(() => fromText(bad)),
      /damaged|too-large/,
    );
});

test('days that the calendar lacks are damage, and no day is later than the century', () => {
  const at = (day) => code(() => decodeResult(encodeResult({ ...sent(exampleRecording(4)), day, sets: [{ ...sent(exampleRecording(4)).sets[0], day }] })));
  assert.deepEqual(['2026-11-25', '2028-02-29', '2026-99-99', '2026-02-29', '9999-12-31', '1970-01-01', '2026-11-31'].map(at), [
    'taken',
    'taken',
    ...Array(5).fill('damaged'),
  ]);
});

test('a note keeps its lines, and a file is named by client and day', () => {
  assert.equal(cleanLines('a\r\nb\u0000 \n\n\n\nc\u202e d\n', 100), 'a\nb\n\nc d');
  assert.equal([...cleanLines('x\n'.repeat(900), 1000)].length, 1000);
  assert.equal(fileName('Ana María / ../ "x"', '2026-11-25'), 'Ana-María-x-2026-11-25');
  assert.equal(fileName(' ../..\\', '2026-11-25'), 'squat-2026-11-25');
});
