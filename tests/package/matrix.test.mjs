// The set-ups of matrix.mjs that need nothing but this folder's packages, each at the first try; `cargo xtask matrix` tries all.
import { after, before, test } from 'node:test';
import assert from 'node:assert/strict';
import { browser } from './harness.mjs';
import { ROWS, tried } from './matrix.mjs';

let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

for (const row of ROWS.filter(([name]) => !/^Next|Vite 7/.test(name))) {
  test(row[0], async () => {
    const { result } = await tried(row, chromium);
    assert.equal(result, 'first try');
  });
}
