// @ts-check
/** The filmed video beside its figure: the same moment, if the reader wants to see it. */
import { el } from '../app/dom.js';

/**
 * @param {import('../app/types.js').Film} film
 * @param {HTMLElement} figure shown instead while the video is off
 */
export function createFilm({ file, from_ms }, figure) {
  const url = URL.createObjectURL(file);
  const video = el('video', { src: url, playsinline: true, preload: 'auto', hidden: true, 'aria-label': 'The video at the moment set below' });
  video.muted = true;
  const tick = el('input', { type: 'checkbox', onchange: () => {
    video.hidden = !tick.checked;
    figure.hidden = tick.checked;
  } });
  return {
    video,
    choice: el('label', { class: 'tick' }, tick, 'Show the video'),
    /** @param {number} t_ms @param {boolean} playing the video then runs by itself and is only set right when it drifts */
    at(t_ms, playing) {
      const wanted = Math.max(0, t_ms - from_ms);
      const apart = Math.abs(video.currentTime * 1000 - wanted);
      if (apart > (playing ? 250 : 1)) video.currentTime = wanted / 1000;
    },
    play: () => { video.play().catch(() => {}); },
    pause: () => video.pause(),
    dispose() {
      video.pause();
      video.removeAttribute('src');
      URL.revokeObjectURL(url);
    },
  };
}
