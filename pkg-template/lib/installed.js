// Where npm puts the package's files, for development servers that bundle its scripts ahead and leave the rest where it was.

/** Whether a script lies where Vite's development server puts dependencies that it bundles ahead: alone. */
export const moved = (from) => from.includes('/.vite/');

/** Addresses to try for a file of the package that is not beside the script at `from`. */
export function installed(file, from) {
  const [, name] = file.match(/((?:wasm\/)?[^/?#]+)(?:[?#].*)?$/) ?? [];
  if (!name) return [];
  const { origin, pathname } = new URL(from);
  const before = pathname.includes('/node_modules/') ? pathname.slice(0, pathname.indexOf('/node_modules/')) : null;
  const roots = new Set([before, ''].filter((root) => root !== null));
  return [...roots].map((root) => `${origin}${root}/node_modules/underfoot/${name}`).filter((url) => url !== file);
}
