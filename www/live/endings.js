// @ts-check
/** What ends a set beside the lifter: a key, a tap, a headset button, a lost camera, a hidden tab. */
import { $ } from '../app/dom.js';

const MEDIA_KEYS = /** @type {const} */ (['play', 'pause', 'stop']);

/**
 * A set that is counting is always kept.
 * @param {MediaStream} stream
 * @param {{ readonly counting: boolean }} set
 * @param {(end: { why: string, keep: boolean }) => void} end
 * @returns {() => void} stops listening
 */
export function listenForEnd(stream, set, end) {
  const listening = new AbortController();
  const { signal } = listening;
  const by = (/** @type {Event} */ event) => {
    if (!set.counting || (event.target instanceof Element && event.target.closest('button, select, input, summary, a'))) return;
    event.preventDefault();
    end({ why: '', keep: true });
  };
  // One key that nobody presses to look around: screen readers go about with arrows, letters and function keys.
  addEventListener(
    'keydown',
    (event) => {
      if (event.key === 'Enter' && !event.ctrlKey && !event.altKey && !event.metaKey && !event.shiftKey) by(event);
    },
    { signal },
  );
  $('preview').addEventListener('pointerdown', by, { signal });
  stream.getVideoTracks()[0]?.addEventListener('ended', () => end({ why: 'The camera was disconnected', keep: true }), { signal });
  document.addEventListener(
    'visibilitychange',
    () => {
      if (document.hidden && set.counting) end({ why: 'The set was ended because this tab was hidden', keep: true });
    },
    { signal },
  );
  mediaKeys(() => {
    if (set.counting) end({ why: '', keep: true });
  });
  return () => {
    listening.abort();
    mediaKeys(null);
  };
}

/** @param {(() => void) | null} act */
function mediaKeys(act) {
  for (const key of MEDIA_KEYS) {
    try {
      navigator.mediaSession?.setActionHandler(key, act);
    } catch {
      // Not every browser knows every key.
    }
  }
}
