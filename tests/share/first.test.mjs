// The files that a link needs are asked for at once: the list follows the imports.
import assert from 'node:assert/strict';
import { existsSync, readFileSync } from 'node:fs';
import { dirname, normalize } from 'node:path';
import test from 'node:test';
import { fileURLToPath } from 'node:url';

const WWW = fileURLToPath(new URL('../../www/', import.meta.url));

/** A file or two that come later cost a link one more way there and back. */
const LATE = 2;

/** @param {string} file @param {Set<string>} found by static imports, itself included; the package lies elsewhere */
function reach(file, found) {
  if (found.has(file) || !existsSync(WWW + file)) return found;
  found.add(file);
  for (const [, from] of readFileSync(WWW + file, 'utf8').matchAll(/^(?:import|export)\s(?:[\w*{}\s,$]+\sfrom\s+)?['"](\.[^'"]+)['"]/gm))
    reach(normalize(`${dirname(file)}/${from}`), found);
  return found;
}

test('app/first.js names what asked/open-link.js leads to, but for what the page loads anyway', () => {
  const text = readFileSync(`${WWW}app/first.js`, 'utf8');
  const listed = [...text.matchAll(/^ {4}'([^']+)',$/gm)].flatMap(([, part]) => part.trim().split(' ')).sort();
  const always = reach('app/main.js', new Set());
  const wanted = [...reach('asked/open-link.js', new Set())].filter((file) => !always.has(file)).sort();
  assert.deepEqual(
    listed.filter((file) => !wanted.includes(file)),
    [],
    'asked for in vain',
  );
  const late = wanted.filter((file) => !listed.includes(file));
  assert.ok(late.length <= LATE, `these come one import after the other, add them: ${late.join(' ')}`);
});
