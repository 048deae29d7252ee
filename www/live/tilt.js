// @ts-check
/** The phone's tilt from its own sensor, where there is one and it is allowed. */

/** A reading older than this says nothing about now. */
const FRESH_MS = 2000;
const DEG = 180 / Math.PI;

/** @typedef {{ pitch_deg: number, roll_deg: number }} Tilt as the recording's camera fields: + = looking up, + = picture turned clockwise */

/**
 * World up in the device's axes is the third row of R = Z(alpha) X(beta) Y(gamma)
 * (W3C Device Orientation, section on the rotation matrix); the rest is which way the camera looks.
 * @param {number} beta degrees
 * @param {number} gamma degrees
 * @param {number} screen angle of the screen's orientation, degrees
 * @param {boolean} front camera on the screen's side
 * @returns {Tilt}
 */
export function tiltOf(beta, gamma, screen, front) {
  const [b, g, s] = [beta / DEG, gamma / DEG, screen / DEG];
  const up = [-Math.cos(b) * Math.sin(g), Math.sin(b), Math.cos(b) * Math.cos(g)];
  const look = front ? 1 : -1;
  // The picture's up lies in the screen; its right is the view's direction crossed with it.
  const top = [Math.sin(s), Math.cos(s)];
  const right = [-look * top[1], look * top[0]];
  const along = (/** @type {number[]} */ axis) => axis[0] * up[0] + axis[1] * up[1];
  return { pitch_deg: Math.asin(Math.min(1, Math.max(-1, look * up[2]))) * DEG, roll_deg: Math.atan2(along(right), along(top)) * DEG };
}

/** To be called from a click, because some browsers ask. */
export async function allowTilt() {
  const ask = /** @type {any} */ (globalThis.DeviceOrientationEvent)?.requestPermission;
  if (typeof ask === 'function') await ask.call(globalThis.DeviceOrientationEvent).catch(() => {});
}

export class TiltSensor {
  /** @param {boolean} front */
  constructor(front) {
    /** @type {Tilt | null} */
    this.last = null;
    this.at = -Infinity;
    this.listen = (/** @type {DeviceOrientationEvent} */ event) => {
      if (event.beta === null || event.gamma === null) return;
      this.last = tiltOf(event.beta, event.gamma, screen.orientation?.angle ?? 0, front);
      this.at = performance.now();
    };
    addEventListener('deviceorientation', this.listen);
  }

  /** @returns {Tilt | null} */
  now() {
    return performance.now() - this.at < FRESH_MS ? this.last : null;
  }

  stop() {
    removeEventListener('deviceorientation', this.listen);
  }
}
