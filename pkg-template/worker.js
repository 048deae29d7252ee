// Sessions that run in a worker, with the same calls as Session but answered by promises.
import { UnderfootError } from './lib/error.js';
import { installed, moved } from './lib/installed.js';

/** Written out where bundlers look for it. */
function ownWorker() {
  try {
    return new Worker(new URL('./worker-main.js', import.meta.url), { type: 'module' });
  } catch (cause) {
    // A page that requires trusted types takes no bare address.
    if (!globalThis.trustedTypes) throw cause;
    const [name, from] = ['./worker-main.js', import.meta.url];
    return new Worker(trusted(new URL(name, from).href), { type: 'module' });
  }
}

let policy;
/** An address of the package's own script, as a page with trusted types wants it: its policy must allow the name `underfoot`. */
function trusted(url) {
  policy ??= globalThis.trustedTypes?.createPolicy('underfoot', { createScriptURL: (own) => own });
  return policy ? policy.createScriptURL(url) : url;
}

/** See worker.d.ts. */
export class UnderfootWorker {
  #worker;
  #waiting = new Map();
  #sessions = new Map();
  #numbers = 0;
  #ready;
  #stopped = null;
  #unwatch = new AbortController();
  /** Where its script may lie if it is not where the first attempt looked. */
  #elsewhere = [];
  #started = false;

  constructor({ worker, source } = {}) {
    if (!worker) this.#elsewhere = installed('worker-main.js', import.meta.url);
    const first = moved(import.meta.url) && this.#elsewhere.shift();
    this.#listen(worker ?? (first ? new Worker(trusted(first), { type: 'module' }) : ownWorker()));
    const lock = `underfoot-worker-${globalThis.crypto?.randomUUID?.() ?? Math.random()}`;
    this.#ready = this.call('init', 0, source instanceof URL ? source.href : source, lock).then((held) => {
      if (held) this.#watch(lock);
    });
    // Reported by whatever is called first.
    this.#ready.catch(() => {});
  }

  #listen(worker) {
    this.#worker = worker;
    worker.addEventListener('message', ({ data }) => this.#answer(data));
    worker.addEventListener('error', (event) => this.#failed(event.message));
    worker.addEventListener('messageerror', () => {
      this.#stop(new UnderfootError('internal', 'the worker sent something that cannot be read: make a new one'));
    });
  }

  /** A script that is not there says nothing; one that throws says what. */
  #failed(reason) {
    const next = this.#started || reason ? undefined : this.#elsewhere.shift();
    if (!next) {
      this.#stop(new UnderfootError('load-failed', `the worker stopped: ${reason || 'its script could not be loaded'}`));
      return;
    }
    this.#worker.terminate();
    this.#listen(new Worker(trusted(next), { type: 'module' }));
    for (const { message } of this.#waiting.values()) this.#worker.postMessage(message);
  }

  /**
   * A worker that the browser ends (out of memory, say) tells nobody, and whoever waits would wait for ever. The lock that it
   * holds as long as it lives falls to this request when it is gone.
   */
  #watch(lock) {
    const died = () => this.#stop(new UnderfootError('internal', 'the worker was ended by the browser: make a new one, what was pushed is lost with it'));
    globalThis.navigator?.locks?.request(lock, { signal: this.#unwatch.signal }, died).catch(() => {});
  }

  /** See worker.d.ts. */
  async open(setup) {
    await this.#ready;
    const id = ++this.#numbers;
    await this.call('open', id, setup);
    const session = new WorkerSession(this, id);
    this.#sessions.set(id, session);
    return session;
  }

  /** See worker.d.ts. */
  async analyze(recording, { signal, ...options } = {}) {
    signal?.throwIfAborted();
    await this.#ready;
    signal?.throwIfAborted();
    const number = this.#numbers + 1;
    const answer = this.call('analyze', 0, recording, options);
    if (!signal) return answer;
    return new Promise((resolve, reject) => {
      const abort = () => {
        // What has begun runs to its end, unheard; what waits is not begun.
        if (this.#waiting.delete(number)) this.#worker.postMessage({ name: 'abort', number });
        reject(signal.reason);
      };
      signal.addEventListener('abort', abort, { once: true });
      answer.then(resolve, reject).finally(() => signal.removeEventListener('abort', abort));
    });
  }

  /** See worker.d.ts. */
  terminate() {
    this.#stop(new UnderfootError('freed', 'this worker was terminated: make a new one'));
    this.#worker.terminate();
  }

  /** One message there, one promise for the answer. Not for callers of the package. */
  call(name, id, ...args) {
    if (this.#stopped) return Promise.reject(this.#stopped);
    const number = ++this.#numbers;
    return new Promise((resolve, reject) => {
      // Kept for another attempt only until the worker has answered once.
      const message = { number, name, id, args };
      this.#waiting.set(number, { resolve, reject, ...(!this.#started && { message }) });
      try {
        this.#worker.postMessage(message);
      } catch (cause) {
        this.#waiting.delete(number);
        reject(new UnderfootError('bad-input', `${name}: holds something that cannot be sent to a worker`, { cause }));
      }
    });
  }

  /** Not for callers of the package. */
  forget(id) {
    this.#sessions.delete(id);
  }

  #answer({ number, value, error, event, id, detail }) {
    this.#started = true;
    if (event) {
      this.#sessions.get(id)?.dispatchEvent(new CustomEvent(event, { detail }));
      return;
    }
    const waiting = this.#waiting.get(number);
    this.#waiting.delete(number);
    if (error) waiting?.reject(new UnderfootError(error.code, error.message, error));
    else waiting?.resolve(value);
  }

  #stop(error) {
    this.#stopped ??= error;
    this.#unwatch.abort();
    for (const { reject } of this.#waiting.values()) reject(this.#stopped);
    this.#waiting.clear();
  }
}

/** See worker.d.ts. */
export class WorkerSession extends EventTarget {
  #worker;
  #id;
  #freed = false;

  constructor(worker, id) {
    super();
    this.#worker = worker;
    this.#id = id;
  }

  /** See worker.d.ts. */
  push(t_ms, points, grey) {
    return this.#call('push', t_ms, points, grey);
  }

  /** See worker.d.ts. */
  mark(t_ms, joints, pictures) {
    return this.#call('mark', t_ms, joints, pictures);
  }

  /** See worker.d.ts. */
  followed() {
    return this.#call('followed');
  }

  /** See worker.d.ts. */
  feet() {
    return this.#call('feet');
  }

  /** See worker.d.ts. */
  values() {
    return this.#call('values');
  }

  /** See worker.d.ts. */
  report(options) {
    return this.#call('report', options);
  }

  /** See worker.d.ts. */
  finish(options) {
    return this.#call('finish', options);
  }

  /** See worker.d.ts. */
  recording() {
    return this.#call('recording');
  }

  /** See worker.d.ts. */
  reset() {
    return this.#call('reset');
  }

  /** See worker.d.ts. */
  async free() {
    if (this.#freed) return;
    this.#freed = true;
    await this.#worker.call('close', this.#id).catch(() => {});
    this.#worker.forget(this.#id);
  }

  #call(name, ...args) {
    if (this.#freed) return Promise.reject(new UnderfootError('freed', 'this session was freed: open a new one'));
    return this.#worker.call(name, this.#id, ...args);
  }
}

if (Symbol.asyncDispose) WorkerSession.prototype[Symbol.asyncDispose] = WorkerSession.prototype.free;
