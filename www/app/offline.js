// @ts-check
/** Keeps the page for use without a network, and offers a newer version without forcing it on a running set. */
import { $ } from './dom.js';

/** Large files wait until the page has been at rest for this long. */
const REST_MS = 4000;

/** @param {ServiceWorker} waiting */
function offer(waiting) {
  $('update').hidden = false;
  $('update-now').onclick = () => {
    navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
    waiting.postMessage('take-over');
  };
}

/** @param {ServiceWorkerRegistration} registration */
function watch(registration) {
  const look = () => { if (registration.waiting && navigator.serviceWorker.controller) offer(registration.waiting); };
  look();
  registration.addEventListener('updatefound', () => registration.installing?.addEventListener('statechange', look));
}

export async function startOffline() {
  if (!('serviceWorker' in navigator)) return;
  try {
    const response = await fetch('offline.json', { cache: 'no-store' });
    if (!response.ok) return;
    const { version } = await response.json();
    watch(await navigator.serviceWorker.register(`sw.js?v=${encodeURIComponent(version)}`));
    const { active } = await navigator.serviceWorker.ready;
    navigator.serviceWorker.addEventListener('message', ({ data }) => {
      if (data === 'all-kept') document.documentElement.dataset.offline = 'ready';
    });
    setTimeout(() => active?.postMessage('fetch-the-rest'), REST_MS);
  } catch {
    // No network now: the page runs from what is kept already.
  }
}
