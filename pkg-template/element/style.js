// One sheet for all elements, constructed so that a strict content security policy allows it.

const CSS = `
:host { display: block; font: var(--underfoot-font, inherit); color: var(--underfoot-ink, inherit);
  background: var(--underfoot-paper, transparent); padding: var(--underfoot-space, 1rem); }
:host([hidden]) { display: none; }
* { box-sizing: border-box; }
.live { display: flex; flex-wrap: wrap; gap: .25em 1em; align-items: baseline; font-size: var(--underfoot-live-size, 1.5em); margin: 0; }
.cue { border-inline-start: .3em solid var(--underfoot-accent, currentColor); padding-inline-start: .8em; margin-block: 1em; }
.cue strong { display: block; font-size: var(--underfoot-cue-size, 1.4em); line-height: 1.25; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; }
caption { text-align: start; font-size: .85em; }
th, td { padding: .3em .7em .3em 0; text-align: start; vertical-align: top; border-block-end: 1px solid var(--underfoot-line, color-mix(in srgb, currentColor 25%, transparent)); }
th { font-weight: 600; }
small { display: block; font-weight: 400; opacity: .8; }
svg { width: 1em; height: 1em; margin-inline-end: .3em; vertical-align: -.12em; overflow: visible; fill: none; stroke: currentColor; stroke-width: 2; }
.fault svg { fill: currentColor; stroke: none; }
.unseen svg { stroke-dasharray: 2 2.2; }
.fault .verdict { font-weight: 700; }
.trouble { border: 2px solid currentColor; padding: .6em .8em; }
ul { padding-inline-start: 1.2em; }
`;

let sheet;

export function wear(root) {
  if (!sheet) {
    sheet = new CSSStyleSheet();
    sheet.replaceSync(CSS);
  }
  root.adoptedStyleSheets = [sheet];
}
