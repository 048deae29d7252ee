// Copies of what a host hands over. The module reads copies only: a getter or a proxy that throws must do so
// here, because an exception that goes through WebAssembly leaves what it went through locked for ever.
import { bad, UnderfootError } from './error.js';

const DEEPEST = 8;
const MOST = 1e8;
const SECTIONS = {
  image: ['width', 'height'],
  lifter: ['height_m'],
  load: ['body_kg', 'bar_kg', 'carry'],
  camera: ['hfov_deg', 'mirrored', 'pitch_deg', 'roll_deg'],
};
const SETUP = ['layout', 'image', 'lifter', 'load', 'camera', 'footwear', 'estimator', 'marks'];

/** A set-up, or a whole recording, as plain data. */
export const recordingCopy = (given) =>
  readable('recording', () => (isObject(given) ? objectCopy(given, [...SETUP, 'frames'], 0, SECTIONS) : copyOf(given, 0)));

/** A set-up without its frames; what is left out of it goes elsewhere. */
export const setupCopy = (given, leaveOut) => readable('setup', () => objectCopy(given, SETUP, 0, SECTIONS, ['frames', ...leaveOut]));

/** These members of a set-up as plain data. */
export const picked = (given, keys) => readable('setup', () => Object.fromEntries(keys.map((key) => [key, copyOf(given[key], 0)])));

/** Anything else as plain data. */
export const plainCopy = (value, field) => readable(field, () => copyOf(value, 0));

const isObject = (value) => typeof value === 'object' && value !== null && !Array.isArray(value) && !ArrayBuffer.isView(value);

function readable(field, read) {
  try {
    return read();
  } catch (cause) {
    if (cause instanceof UnderfootError) throw cause;
    throw new UnderfootError('bad-input', `${field}: could not be read`, { field, cause });
  }
}

function copyOf(value, depth) {
  if (typeof value === 'function') return undefined;
  if (typeof value !== 'object' || value === null) return value;
  if (depth > DEEPEST) throw bad('recording', `is nested more than ${DEEPEST} deep`);
  if (ArrayBuffer.isView(value)) return value instanceof DataView ? {} : new Float64Array(value);
  if (!Array.isArray(value)) return objectCopy(value, [], depth);
  const { length } = value;
  if (!(length <= MOST)) throw bad('recording', `holds a list of more than ${MOST} values`);
  const out = [];
  for (let i = 0; i < length; i++) out.push(copyOf(value[i], depth + 1));
  return out;
}

/** Its own members, and those named, which a class may have on its prototype. */
function objectCopy(value, named, depth, sections = {}, leaveOut = []) {
  const out = {};
  for (const key of new Set([...named, ...Object.keys(value)])) {
    if (key === '__proto__' || leaveOut.includes(key)) continue;
    const member = value[key];
    if (member === undefined || member === null) continue;
    out[key] = key in sections && isObject(member) ? objectCopy(member, sections[key], depth + 1) : copyOf(member, depth + 1);
  }
  return out;
}
