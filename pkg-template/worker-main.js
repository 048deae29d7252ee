// What runs in the worker: sessions by number, one call a message. The other end is worker.js.
import { Session, UnderfootError, analyze, init } from './index.js';

const sessions = new Map();

const calls = {
  init: (_, source) => init(source),
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

function call(name, id, args) {
  if (Object.hasOwn(calls, name)) return calls[name](id, ...args);
  return sessions.get(id)[name](...args);
}

addEventListener('message', async ({ data: { number, name, id, args } }) => {
  try {
    postMessage({ number, value: await call(name, id, args) });
  } catch (error) {
    const { code = 'internal', message, field = null } = error instanceof UnderfootError ? error : { message: String(error) };
    postMessage({ number, error: { code, message, field } });
  }
});
