// Sizes of the files named as arguments, as JSON: [{raw, gzip, brotli}], in bytes.
import { readFileSync } from 'node:fs';
import { brotliCompressSync, gzipSync } from 'node:zlib';

const sizes = process.argv.slice(2).map((file) => {
  const bytes = readFileSync(file);
  return {
    raw: bytes.length,
    gzip: gzipSync(bytes, { level: 9 }).length,
    brotli: brotliCompressSync(bytes).length, // quality 11 is the default
  };
});
console.log(JSON.stringify(sizes));
