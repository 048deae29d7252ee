// @ts-check
/** Keeps the page for use without a network, and offers a newer version without forcing it on a running set. */
import { $ } from './dom.js';
import { recall, remember } from './memory.js';

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
  const look = () => {
    if (registration.waiting && navigator.serviceWorker.controller) offer(registration.waiting);
  };
  look();
  registration.addEventListener('updatefound', () => registration.installing?.addEventListener('statechange', look));
}

/** The model that this device keeps; '' until one was used or asked for. */
const KEPT = 'estimator-kept';

/** @param {'none' | 'page' | 'loading' | 'ready' | 'failed'} state */
function say(state) {
  document.documentElement.dataset.offline = state;
  const words = {
    none: 'not in this browser',
    page: 'example and saved sets',
    loading: 'fetching the pose estimator…',
    ready: 'everything',
    failed: 'the pose estimator could not be fetched',
  };
  $('block-offline').textContent = words[state];
  $('keep-estimator').hidden = state === 'ready' || state === 'loading' || state === 'none';
}

/** Has the estimator kept for use without a network. @param {string} model that is used */
export async function keepEstimator(model) {
  const { active } = (await navigator.serviceWorker?.getRegistration()) ?? {};
  if (!active) return;
  remember(KEPT, model);
  say('loading');
  active.postMessage({ keep: model });
}

export async function startOffline() {
  if (!('serviceWorker' in navigator)) return say('none');
  try {
    const response = await fetch('offline.json', { cache: 'no-store' });
    if (!response.ok) return;
    const { version } = await response.json();
    watch(await navigator.serviceWorker.register(`sw.js?v=${encodeURIComponent(version)}`));
    await navigator.serviceWorker.ready;
    navigator.serviceWorker.addEventListener('message', ({ data }) => {
      if (data === 'all-kept') say('ready');
      if (data === 'not-kept') say('failed');
    });
    say('page');
    $('keep-estimator').addEventListener('click', () => keepEstimator(recall('estimator-model', '') || 'full'));
    const kept = recall(KEPT, '');
    if (kept) setTimeout(() => keepEstimator(kept), REST_MS);
  } catch {
    // No network now: the page runs from what is kept already.
    say(navigator.serviceWorker.controller ? (recall(KEPT, '') ? 'ready' : 'page') : 'none');
  }
}
