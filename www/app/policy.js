// @ts-check
/** What keeps this page from sending anything: said only where it is so. */
import { $ } from './dom.js';

/** The part of a policy that forbids other addresses (Content Security Policy Level 3, section 6.1.2). */
const OWN_ONLY = /(?:^|;)\s*connect-src 'self'\s*(?:;|$)/;

/** A host's policy holds for the page and for its workers; one in the page for the page alone. @type {Record<string, string>} */
const WORDS = {
  host: 'Your browser enforces it: this page and its workers can connect to no other address.',
  page: 'Your browser enforces it for this page: it can connect to no other address. This host sets no policy of its own, so for the page’s workers it is not enforced.',
  none: '',
};

/** @returns {Promise<'host' | 'page' | 'none'>} what is in force here */
export async function policy() {
  const inPage = document.querySelector('meta[http-equiv="Content-Security-Policy"]')?.getAttribute('content') ?? '';
  try {
    const parts = await Promise.all(['index.html', 'pkg/worker-main.js'].map((part) => fetch(part)));
    if (parts.every((part) => part.ok && OWN_ONLY.test(part.headers.get('content-security-policy') ?? ''))) return 'host';
  } catch {
    // Not to be had now: only what is in the page itself is certain.
  }
  return OWN_ONLY.test(inPage) ? 'page' : 'none';
}

export async function sayPolicy() {
  const found = await policy();
  $('policy').dataset.policy = found;
  $('policy').textContent = WORDS[found];
}
