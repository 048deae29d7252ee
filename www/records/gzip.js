// @ts-check
/** Gzip through the browser's own streams. */

/** @param {string} text @returns {Promise<ArrayBuffer>} */
export function gzip(text) {
  const packed = new Blob([text]).stream().pipeThrough(new CompressionStream('gzip'));
  return new Response(packed).arrayBuffer();
}

/** Only for what this page packed itself; files go through `textOf`, which has a limit. @param {ArrayBuffer} bytes @returns {Promise<string>} */
export function gunzip(bytes) {
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'))).text();
}
