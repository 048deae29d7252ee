// node read.mjs [recording.json]
import { readFile } from 'node:fs/promises';
import { argv, exit } from 'node:process';
import { UnderfootError, analyze, initSync } from 'underfoot';
import { example } from 'underfoot/example';

initSync();
try {
  const report = analyze(argv[2] ? await readFile(argv[2], 'utf8') : example);
  for (const rep of report.reps) {
    const { left, right } = rep.knee_in_deg;
    console.log(`repetition ${rep.index}: left knee ${left.verdict}, right knee ${right.verdict}`);
  }
  console.log(report.cue.text);
} catch (error) {
  if (!(error instanceof UnderfootError)) throw error;
  console.error(error.message);
  exit(2);
}
