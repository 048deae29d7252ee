// What runs in the worker: sessions by number, one call a message. The other end is worker.js.
import { Session, UnderfootError, analyze, init } from './index.js';

const sessions = new Map();

const calls = {
  async init(_, source, lock) {
    await init(source);
    return hold(lock);
  },
  analyze: (_, recording, options) => analyze(recording, options),
  open(id, setup) {
    const session = new Session(setup);
    for (const type of ['rep', 'set']) {
      session.addEventListener(type, ({ detail }) => postMessage({ event: type, id, detail }));
    }
    sessions.set(id, session);
  },
  close(id) {
    sessions.get(id)?.free();
    sessions.delete(id);
  },
};

/** Holds the lock for as long as this worker lives, which tells the other end of its death. Whether it could. */
function hold(lock) {
  const locks = globalThis.navigator?.locks;
  if (!locks || !lock) return false;
  return new Promise((resolve) => {
    const forever = () => {
      resolve(true);
      return new Promise(() => {});
    };
    locks.request(lock, forever).catch(() => resolve(false));
  });
}

function call(name, id, args) {
  if (Object.hasOwn(calls, name)) return calls[name](id, ...args);
  return sessions.get(id)[name](...args);
}

const listen = globalThis.addEventListener?.bind(globalThis);

// Imported on a server, where nothing listens, it does nothing.
listen?.('message', async ({ data: { number, name, id, args } }) => {
  try {
    postMessage({ number, value: await call(name, id, args) });
  } catch (error) {
    const { code = 'internal', message, field = null } = error instanceof UnderfootError ? error : { message: String(error) };
    postMessage({ number, error: { code, message, field } });
  }
});

// What can't be read here names no call: whoever waits must not wait for an answer.
listen?.('messageerror', () => {
  throw new Error('the worker was sent something that it cannot read');
});
