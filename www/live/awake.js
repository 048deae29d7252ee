// @ts-check
/** Keeps the screen on during a set, where the browser can. */

/** @returns {() => void} lets it sleep again */
export function keepAwake() {
  /** @type {WakeLockSentinel | null} */
  let lock = null;
  let over = false;
  const ask = async () => {
    try {
      const got = await navigator.wakeLock?.request('screen');
      if (over) await got?.release();
      else lock = got ?? null;
    } catch {
      // Low battery or no support: the set goes on, the screen may dim.
    }
  };
  const again = () => {
    if (document.visibilityState === 'visible') ask();
  };
  document.addEventListener('visibilitychange', again);
  ask();
  return () => {
    over = true;
    document.removeEventListener('visibilitychange', again);
    lock?.release().catch(() => {});
  };
}
