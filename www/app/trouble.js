// @ts-check
/** Everything that can go wrong, each as one plain sentence that says what to do. */
import { ShareError } from '../share/errors.js';
import { $ } from './dom.js';

/** An error whose message is already a sentence for the reader. */
export class Trouble extends Error {
  /** @param {string} sentence @param {{ cause?: unknown }} [options] */
  constructor(sentence, options) {
    super(sentence, options);
    this.name = 'Trouble';
  }
}

/** Camera errors by the names of the Media Capture specification. */
const CAMERA = {
  NotAllowedError: 'Camera access was blocked: allow it for this page in the browser’s address bar, or open a video instead.',
  NotFoundError: 'No camera was found: plug one in, or open a video instead.',
  NotReadableError: 'The camera is in use by something else: close the other program and try again.',
  OverconstrainedError: 'The camera can’t give the chosen picture size: choose a smaller one and try again.',
  SecurityError: 'The browser allows the camera only on a secure (https) page or on this device itself.',
  AbortError: 'The camera stopped by itself: unplug it, plug it in and try again.',
};

/**
 * @param {unknown} error from getUserMedia
 * @returns {Trouble}
 */
export function cameraTrouble(error) {
  const name = error instanceof DOMException ? error.name : '';
  const sentence =
    CAMERA[/** @type {keyof typeof CAMERA} */ (name)] ?? 'The camera could not be opened: check that it works elsewhere, or open a video instead.';
  return new Trouble(sentence, { cause: error });
}

/** The package's words for input that it refuses; its message names the field and the reason. */
const REFUSED = ['bad-input', 'empty', 'time-order'];

/**
 * The sentence for any error.
 * @param {unknown} error
 * @returns {string}
 */
export function sentence(error) {
  if (error instanceof Trouble || error instanceof ShareError) return error.message;
  const code = /** @type {{ code?: unknown }} */ (error ?? {}).code;
  const message = error instanceof Error ? error.message : String(error);
  if (REFUSED.includes(/** @type {string} */ (code)))
    return `This recording can’t be used (${message}): fix it in the program that created it, or choose another file.`;
  if (error instanceof DOMException && error.name === 'QuotaExceededError')
    return 'This device’s storage is full: delete some saved sets or free some space; the set on screen is still here and can be saved as a file.';
  if (error instanceof RangeError || /memory/i.test(message)) return 'This device ran out of memory: close other tabs and try a shorter clip.';
  return `Something went wrong that this page did not expect (${message}): try again; don’t delete the file.`;
}

/** @param {unknown} error */
export function showTrouble(error) {
  if (!(error instanceof Trouble)) console.error(error);
  $('trouble-text').textContent = sentence(error);
  $('trouble').hidden = false;
  $('trouble').scrollIntoView({ block: 'nearest' });
}

export function clearTrouble() {
  $('trouble').hidden = true;
}
