// @ts-check
/** A plain file server, as any static host is one: no headers of its own, a folder below a path, 404.html for what is not there. */
import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import { extname, join, normalize } from 'node:path';

/** Media types that every host knows. @type {Record<string, string>} */
const TYPES = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.json': 'application/json',
  '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
};

/**
 * @param {string} folder
 * @param {string} below such as `/some/path/`
 * @returns {Promise<{ url: string, close: () => void, asked: string[] }>} asked: the paths that were asked for
 */
export async function serveFolder(folder, below) {
  /** @type {string[]} */
  const asked = [];
  const server = createServer(async (request, response) => {
    const path = decodeURIComponent(new URL(request.url ?? '/', 'http://host').pathname);
    asked.push(path);
    const send = async (/** @type {number} */ status, /** @type {string} */ name) => {
      const bytes = await readFile(join(folder, name));
      response.writeHead(status, { 'content-type': TYPES[extname(name)] ?? 'application/octet-stream' }).end(bytes);
    };
    try {
      if (!path.startsWith(below)) throw new Error('outside');
      const name = normalize(path.slice(below.length) || 'index.html');
      if (name.startsWith('..')) throw new Error('outside');
      await send(200, name);
    } catch {
      await send(404, '404.html').catch(() => response.writeHead(404).end());
    }
  });
  await new Promise((resolve) => {
    server.listen(0, '127.0.0.1', () => resolve(null));
  });
  const { port } = /** @type {import('node:net').AddressInfo} */ (server.address());
  return {
    url: `http://localhost:${port}${below}`,
    asked,
    close: () => {
      server.closeAllConnections();
      server.close();
    },
  };
}
