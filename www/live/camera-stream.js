// @ts-check
/** Opens the camera; only its picture, never the microphone. */
import { cameraTrouble } from '../app/trouble.js';

/** @typedef {'environment' | 'user'} Facing */
/** @typedef {keyof typeof SIZES} Size */
export const SIZES = { small: [640, 480], usual: [1280, 720], large: [1920, 1080] };

/**
 * @param {Facing} facing
 * @param {Size} size
 * @returns {Promise<MediaStream>}
 */
export async function openCamera(facing, size) {
  const [width, height] = SIZES[size];
  if (!navigator.mediaDevices?.getUserMedia) throw cameraTrouble(new DOMException('', 'SecurityError'));
  try {
    return await navigator.mediaDevices.getUserMedia({
      audio: false,
      // No cropping to the asked shape: a phone held upright gives an upright picture.
      video: /** @type {MediaTrackConstraints} */ ({
        facingMode: { ideal: facing },
        width: { ideal: width },
        height: { ideal: height },
        frameRate: { ideal: 30, max: 60 },
        resizeMode: { ideal: 'none' },
      }),
    });
  } catch (error) {
    throw cameraTrouble(error);
  }
}

/** Whether the preview should be a mirror: a camera that faces the user, or one that doesn't say. @param {MediaStream} stream */
export function facesUser(stream) {
  const facing = stream.getVideoTracks()[0]?.getSettings().facingMode;
  return facing !== 'environment';
}

/** @param {MediaStream | null} stream */
export function closeCamera(stream) {
  stream?.getTracks().forEach((track) => track.stop());
}
