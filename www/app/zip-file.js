// @ts-check
/** Zip files written and read one part at a time, so that a large one needs no more memory than its largest part. */
import { Trouble } from './trouble.js';

/** The first bytes of a zip file, `PK` (APPNOTE.TXT 4.3.7). */
const HEAD = [0x50, 0x4b];
/** So many bytes become a blob, which browsers hold outside the page's memory. */
const GATHER = 8e6;
/** Most parts looked at. */
const MAX_PARTS = 100_000;

/** The library, without workers of its own: they would need a looser policy. */
async function library() {
  const zip = await import('../vendor/zip/zip.js');
  zip.configure({ useWebWorkers: false });
  return zip;
}

/** @param {Blob} blob */
export async function isZip(blob) {
  const head = new Uint8Array(await blob.slice(0, HEAD.length).arrayBuffer());
  return HEAD.every((byte, i) => head[i] === byte);
}

/** @param {string} type of the whole */
export async function zipWriter(type = 'application/zip') {
  const { BlobReader, BlobWriter, TextReader, ZipWriter } = await library();
  const writer = new ZipWriter(new BlobWriter(type));
  return {
    /** @param {string} name @param {string} text */
    async text(name, text) {
      await writer.add(name, new TextReader(text));
    },
    /** What is compressed already goes in as it is. @param {string} name @param {Blob} blob */
    async asIs(name, blob) {
      await writer.add(name, new BlobReader(blob), { level: 0 });
    },
    /** @returns {Promise<Blob>} */
    done: () => writer.close(),
  };
}

/**
 * @param {Blob} file
 * @throws {Trouble} when it is damaged or cut short
 */
export async function zipReader(file) {
  const { BlobReader, ZipReader } = await library();
  const reader = new ZipReader(new BlobReader(file));
  /** @type {Map<string, import('../vendor/zip/zip.js').FileEntry>} */
  const parts = new Map();
  try {
    for await (const entry of reader.getEntriesGenerator()) {
      if (parts.size >= MAX_PARTS) throw tooLarge();
      if (!entry.directory) parts.set(entry.filename, entry);
    }
  } catch (cause) {
    throw cause instanceof Trouble ? cause : damaged(cause);
  }
  return {
    /** @param {string} name */
    has: (name) => parts.has(name),
    /**
     * One part, checked against its checksum. What it says of its size is not believed: it is stopped at the limit.
     * @param {string} name
     * @param {{ most: number, type?: string }} options most: bytes once unpacked
     * @returns {Promise<Blob>}
     */
    async part(name, { most, type = '' }) {
      const entry = parts.get(name);
      if (!entry) throw damaged(new Error(`no ${name}`));
      /** @type {BlobPart[]} */
      let chunks = [];
      let size = 0;
      let loose = 0;
      const into = new WritableStream({
        write(chunk) {
          size += chunk.length;
          if (size > most) throw tooLarge();
          chunks.push(chunk);
          loose += chunk.length;
          if (loose < GATHER) return;
          chunks = [new Blob(chunks)];
          loose = 0;
        },
      });
      try {
        await entry.getData(into, { checkSignature: true });
      } catch (cause) {
        throw size > most ? tooLarge() : damaged(cause);
      }
      return new Blob(chunks, { type });
    },
  };
}

/** @param {unknown} cause */
function damaged(cause) {
  return new Trouble('This export is damaged or cut short: copy it again from where it came.', { cause });
}

function tooLarge() {
  return new Trouble('A part of this file is larger than any that this page makes, so it was not opened.');
}
