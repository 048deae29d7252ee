// @ts-check
/** The address that links are made for: where the page is open, unless nobody else can open that. */
import { recall, remember } from '../app/memory.js';

const KEY = 'link-address';
/** This machine by its names (RFC 6761, section 6.3; RFC 1122, section 3.2.1.3). */
const OWN = /^(?:localhost|(?:.*\.)?localhost|127\.\d+\.\d+\.\d+|\[::1\])$/;
/** Reached in the same house only (RFC 1918, section 3; RFC 6762, section 3). */
const NEAR = /^(?:10\.|192\.168\.|172\.(?:1[6-9]|2\d|3[01])\.|169\.254\.)|\.local$/;

/** @returns {'anywhere' | 'near' | 'here'} from where the page's own address can be opened */
export function reach() {
  if (OWN.test(location.hostname)) return 'here';
  return NEAR.test(location.hostname) ? 'near' : 'anywhere';
}

/** What was typed for it before, or ''. */
export function typedAddress() {
  return recall(KEY, '');
}

/**
 * @param {string} typed
 * @returns {boolean} whether it is an address, or empty
 */
export function typeAddress(typed) {
  const text = typed.trim();
  if (text && !addressOf(text)) return false;
  remember(KEY, text);
  return true;
}

/** @param {string} text @returns {URL | null} */
function addressOf(text) {
  try {
    const url = new URL(/^[a-z]+:\/\//i.test(text) ? text : `https://${text}`);
    if (!/^https?:$/.test(url.protocol) || (!url.hostname.includes('.') && url.hostname !== 'localhost')) return null;
    url.search = '';
    url.hash = '';
    // The page's folder: without the slash its files would be looked for beside it.
    if (!/\/$|\.html?$/.test(url.pathname)) url.pathname += '/';
    return url;
  } catch {
    return null;
  }
}

/** @param {string} fragment @returns {string} the whole link */
export function linkTo(fragment) {
  const typed = reach() === 'anywhere' ? null : addressOf(typedAddress());
  const link = typed ?? new URL(location.href);
  link.search = '';
  link.hash = fragment;
  return link.href;
}
