// Other languages are whole: a sentence for every name that the module can give, and nothing English left in what is shown.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { recording } from './harness.mjs';

const load = (name) => import(pathToFileURL(join(process.env.UNDERFOOT_PKG, name)).href);
const u = await load('index.js');
const { de, en, es, translated } = await load('words.js');
await u.init();

const paths = (tree, at = '') => Object.entries(tree).flatMap(([key, value]) => (typeof value === 'object' ? paths(value, `${at}${key}.`) : [`${at}${key}`]));
const leaves = (tree) => Object.values(tree).flatMap((value) => (typeof value === 'object' ? leaves(value) : [value]));

test('both tables have what English has, and a sentence for every cue, note, film and finding', () => {
  assert.deepEqual(paths(de), paths(es));
  assert.deepEqual(
    paths(en).filter((path) => !paths(de).includes(path)),
    [],
  );
  for (const words of [de, es]) {
    assert.deepEqual(Object.keys(words.cues).sort(), [...u.cueIds].sort());
    assert.deepEqual(Object.keys(words.notes).sort(), [...u.noteCodes].sort());
    assert.deepEqual(Object.keys(words.films).sort(), [...u.filmIds].sort());
    for (const text of leaves(words)) assert.ok(typeof text === 'string' && text.length > 0);
    // The same blanks as in English.
    for (const key of ['rep', 'many']) assert.match(words[key], /\{n\}/);
    for (const cue of Object.values(words.cues)) if (typeof cue === 'object') assert.match(cue.one, /\{side\}/);
  }
});

test('a report in German and Spanish: values as they were, no sentence left in English', () => {
  for (const name of ['side-heel-lift', 'front-knees-in']) {
    const report = u.analyze(recording(name));
    for (const words of [de, es]) {
      const told = translated(report, words);
      assert.deepEqual(told.reps, report.reps);
      const [before, after] = [report, told].map(({ cue, finding, notes }) =>
        [cue.text, cue.film_next, finding.sentence, ...cue.cautions, ...notes.map((note) => note.text)].filter(Boolean),
      );
      assert.equal(before.length, after.length);
      for (const text of after) {
        assert.doesNotMatch(text, /undefined|\{|\}/);
        assert.ok(!before.includes(text), text);
      }
      assert.equal(told.notes[0]?.code, report.notes[0]?.code);
    }
  }
});
