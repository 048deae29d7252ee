// @ts-check
/** The few things every screen does with the document. */

/**
 * The element with this id; the page is broken without it, so its absence is an error.
 * @template {Element} [T=HTMLElement]
 * @param {string} id
 * @returns {T}
 */
export function $(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no #${id}`);
  return /** @type {T} */ (/** @type {unknown} */ (found));
}

/**
 * Builds an element. Text children become text nodes, never markup.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Record<string, string | number | boolean | null | undefined | ((event: any) => void)>} [attributes]
 *   `on…` functions become listeners; false, null and undefined are left out
 * @param {...(Node | string | null | undefined | false)} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function el(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (typeof value === 'function') node.addEventListener(name.replace(/^on/, ''), value);
    else node.setAttribute(name, value === true ? '' : String(value));
  }
  for (const child of children) if (child || child === '') node.append(child);
  return node;
}

const SVG = 'http://www.w3.org/2000/svg';

/**
 * @param {string} tag
 * @param {Record<string, string | number>} [attributes]
 * @param {...Node} children
 * @returns {SVGElement}
 */
export function svg(tag, attributes = {}, ...children) {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, String(value));
  node.append(...children);
  return node;
}

/**
 * A small drawing from art.svg; decoration, so hidden from screen readers.
 * @param {string} name
 * @param {string} [className]
 */
export function art(name, className = 'art') {
  return svg('svg', { class: className, 'aria-hidden': 'true' }, svg('use', { href: `art.svg#${name}` }));
}

/**
 * A colour of the theme as a canvas can use it.
 * @param {string} name such as `--ink`
 */
export function ink(name) {
  return getComputedStyle(document.documentElement).getPropertyValue(name);
}

/** Says something to screen readers only. @param {string} text */
export function announce(text) {
  $('announce').textContent = text;
}
