// @ts-check
/** Tones, and a spoken count where the lifter wants one. */
import { recall } from '../app/memory.js';

/** @type {AudioContext | null} */
let audio = null;

/** To be called from a click: browsers start sound only then. */
export function wakeSound() {
  try {
    audio ??= new AudioContext();
    audio.resume().catch(() => {});
  } catch {
    audio = null;
  }
}

/** @param {number} hertz @param {number} [seconds] */
export function tone(hertz, seconds = 0.16) {
  const volume = recall('volume', 0.6);
  if (!audio || audio.state !== 'running' || !(volume > 0)) return;
  const oscillator = audio.createOscillator();
  const gain = audio.createGain();
  const t = audio.currentTime;
  oscillator.frequency.value = hertz;
  gain.gain.setValueAtTime(0, t);
  gain.gain.linearRampToValueAtTime(volume, t + 0.015);
  gain.gain.setValueAtTime(volume, t + seconds);
  gain.gain.linearRampToValueAtTime(0, t + seconds + 0.04);
  oscillator.connect(gain).connect(audio.destination);
  oscillator.start(t);
  oscillator.stop(t + seconds + 0.05);
}

/** @param {string} words */
export function speak(words) {
  if (!recall('speak', false) || !('speechSynthesis' in globalThis)) return;
  const said = new SpeechSynthesisUtterance(words);
  said.volume = recall('volume', 0.6);
  said.lang = 'en';
  speechSynthesis.cancel();
  speechSynthesis.speak(said);
}

/** One short word for the worst fault of a repetition, or null. @param {any} rep */
export function faultWord(rep) {
  const is = (/** @type {any} */ mark) => mark?.verdict === 'fault';
  const sided = (/** @type {any} */ pair, /** @type {(m: any) => boolean} */ test) => ['left', 'right'].some((s) => pair && is(pair[s]) && test(pair[s]));
  if (sided(rep.heel_lift_mm, () => true)) return 'heels';
  if (sided(rep.knee_in_deg, (m) => m.value > 0)) return 'knees out';
  if (sided(rep.foot_roll_deg, (m) => m.value > 0)) return 'arches';
  if (sided(rep.knee_in_deg, () => true) || sided(rep.foot_roll_deg, () => true)) return 'big toes';
  if (is(rep.forward_pct)) return 'back';
  if (is(rep.load_left_pct)) return 'even';
  return null;
}
