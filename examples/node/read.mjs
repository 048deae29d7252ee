// node read.mjs [recording.json]
import { readFile } from 'node:fs/promises';
import { argv, exit } from 'node:process';
import { UnderfootError, analyze, initSync } from 'underfoot';
import { example } from 'underfoot/example';

initSync();
try {
  const report = analyze(argv[2] ? await readFile(argv[2], 'utf8') : example);
  for (const rep of report.reps) {
    const { left, right } = rep.heel_lift_mm;
    console.log(`repetition ${rep.index}: left heel ${left.verdict}, right heel ${right.verdict}`);
  }
  console.log(report.cue.text);
} catch (error) {
  if (!(error instanceof UnderfootError)) throw error;
  console.error(error.message);
  exit(2);
}
