// What runs in the worker: sessions by number, one call a message, answered in their order. The other end is worker.js.
import { Session, UnderfootError, analyze, init, initLive, initPicture } from './index.js';

const sessions = new Map();
let source;

const calls = {
  async init(_, from, lock) {
    source = from ?? undefined;
    await initLive(source);
    // Behind the first answer: whoever asks for a report waits for it, and hears of a failure then.
    init(source).catch(() => {});
    return hold(lock);
  },
  async analyze(_, recording, options) {
    await init(source);
    return analyze(recording, options);
  },
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

/** What a session's call needs to be there: pictures and reports wait for their part. */
async function ready(name, args) {
  if (name === 'report' || name === 'finish') await init(source);
  if (name === 'mark' || (name === 'push' && args[2]?.length)) await initPicture(source?.picture);
}

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

async function call(name, id, args) {
  if (Object.hasOwn(calls, name)) return calls[name](id, ...args);
  await ready(name, args);
  return sessions.get(id)[name](...args);
}

/** Calls whose caller has gone, and the last call that was begun. */
const aborted = new Set();
let begun = 0;

async function answer({ number, name, id, args }) {
  // That the caller has gone may be said in a message that lies in the queue by now.
  if (name === 'analyze') await new Promise((resolve) => setTimeout(resolve));
  begun = number;
  if (aborted.delete(number)) return;
  try {
    postMessage({ number, value: await call(name, id, args) });
  } catch (error) {
    const { code = 'internal', message, field = null } = error instanceof UnderfootError ? error : { message: String(error) };
    postMessage({ number, error: { code, message, field } });
  }
}

const listen = globalThis.addEventListener?.bind(globalThis);
/** One call after the other, also where one waits for a part of the module. */
let last = Promise.resolve();

// Imported on a server, where nothing listens, it does nothing.
listen?.('message', ({ data }) => {
  if (data.name !== 'abort') last = last.then(() => answer(data));
  else if (data.number > begun) aborted.add(data.number);
});

// What can't be read here names no call: whoever waits must not wait for an answer.
listen?.('messageerror', () => {
  throw new Error('the worker was sent something that it cannot read');
});
