// Encodings against the documents that define them: RFC 4648 section 10, the CRC-32 check value
// (ISO-HDLC), RFC 1951, RFC 8949 appendix A, RFC 3986 section 3.5. Values in standards.json were
// made with Python's base64 and zlib and with cbor2 6.3.0.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import { decode, encode } from '../../www/vendor/cborg/cborg.js';
import { gzip, inflateRaw } from '../../www/vendor/pako/pako.js';
import { base64urlnopad } from '../../www/vendor/scure-base/index.js';
import { encodeCheck } from '../../www/share/check-link.js';
import { exampleCheck } from './examples.mjs';

const standards = JSON.parse(readFileSync(new URL('standards.json', import.meta.url), 'utf8'));
const hex = (bytes) => Buffer.from(bytes).toString('hex');
const unhex = (text) => Uint8Array.from(Buffer.from(text, 'hex'));

test('base64url without padding: RFC 4648 section 10', () => {
  for (const { text, base64url_nopad: expected } of standards.rfc4648) {
    assert.equal(base64urlnopad.encode(new TextEncoder().encode(text)), expected);
    assert.equal(new TextDecoder().decode(base64urlnopad.decode(expected)), text);
  }
  const { hex: bytes, base64url } = standards.base64url_special;
  assert.equal(base64urlnopad.encode(unhex(bytes)), base64url);
});

test('the checksum of links and files is CRC-32 (ISO-HDLC), kept by gzip', () => {
  for (const { ascii, crc32_hex: expected } of standards.crc32) {
    const out = gzip(new TextEncoder().encode(ascii));
    const trailer = out.slice(-8, -4).reverse();
    assert.equal(hex(trailer), expected);
  }
});

test('DEFLATE: RFC 1951 streams inflate', () => {
  const { deflate } = standards;
  assert.equal(new TextDecoder().decode(inflateRaw(unhex(deflate.fixed_huffman_a_hex))), 'a');
  assert.equal(new TextDecoder().decode(inflateRaw(unhex(deflate.stored_abc_hex))), 'abc');
  assert.equal(new TextDecoder().decode(inflateRaw(unhex(deflate.zlib_level9_raw_hex))), deflate.plain);
});

test('CBOR: RFC 8949 appendix A, the plain data that links and files use', () => {
  let checked = 0;
  for (const { value, hex: bytes } of standards.cbor) {
    let expected;
    try {
      expected = JSON.parse(value);
    } catch {
      continue; // not plain data: links and files never hold it
    }
    assert.deepEqual(decode(unhex(bytes)), expected, bytes);
    // JavaScript writes 0.0 as the integer 0: only what is no float must come back byte for byte.
    if (!/^f[9ab]/.test(bytes)) assert.equal(hex(encode(expected)), bytes);
    checked += 1;
  }
  assert.ok(checked >= 10, `only ${checked} vectors were plain data`);
});

test('a check link holds only characters that RFC 3986 allows in a fragment', () => {
  assert.match(encodeCheck(exampleCheck), /^[A-Za-z0-9\-._~!$&'()*+,;=:@/?]+$/);
});
