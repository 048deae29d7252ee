// Options, checked for misspelt names before the module reads them.
import { plainCopy } from './copy.js';
import { bad } from './error.js';

const KNOWN = ['series', 'thresholds', 'hurts', 'look_again_days'];

/** The object that the module reads. */
export function options(chosen) {
  if (chosen === undefined || chosen === null) return {};
  if (typeof chosen !== 'object' || Array.isArray(chosen)) throw bad('options', 'must be an object', 'bad-option');
  const own = plainCopy(chosen, 'options');
  const unknown = Object.keys(own).find((key) => !KNOWN.includes(key));
  if (unknown !== undefined) throw bad(unknown, `not an option (known: ${KNOWN.join(', ')})`, 'bad-option');
  return own;
}
