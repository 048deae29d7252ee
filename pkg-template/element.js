// A custom element for pages that want no code of their own. `define.js` registers it; importing this file does not.
import { Session, UnderfootError, analyze, init } from './index.js';
import { el } from './element/dom.js';
import { resultView } from './element/result-view.js';
import { wear } from './element/style.js';
import { en, repetitions } from './element/words.js';

// Where there is no DOM (a server), the file can still be imported.
const Base = globalThis.HTMLElement ?? class {};

/** See element.d.ts. */
export class UnderfootSet extends Base {
  static observedAttributes = ['src'];

  #root;
  #session = null;
  #setup = null;
  #report = null;
  #words = en;
  #loads = 0;

  constructor() {
    super();
    this.#root = this.attachShadow({ mode: 'open' });
    wear(this.#root);
  }

  connectedCallback() {
    // What a page set before the element was defined.
    for (const name of ['words', 'setup', 'report']) {
      if (!Object.hasOwn(this, name)) continue;
      const value = this[name];
      delete this[name];
      this[name] = value;
    }
    if (!this.#root.hasChildNodes()) this.#show(this.#liveLine({ phase: 'searching', reps: 0 }));
  }

  disconnectedCallback() {
    // Moved elsewhere in the page it stays connected by the time this runs.
    queueMicrotask(() => {
      if (!this.isConnected) this.#close();
    });
  }

  attributeChangedCallback(_, before, now) {
    if (now === before) return;
    if (now !== null) this.#load(now);
    else {
      this.#loads += 1;
      this.report = null;
    }
  }

  get setup() {
    return this.#setup;
  }

  set setup(setup) {
    this.#close();
    this.#setup = setup;
  }

  get words() {
    return this.#words;
  }

  set words(words) {
    this.#words = words ?? en;
    this.lang = this.#words.lang;
    if (this.#root.hasChildNodes()) this.report = this.#report;
  }

  get report() {
    return this.#report;
  }

  set report(report) {
    this.#report = report;
    if (report) this.#show(resultView(report, this.#words));
    else this.#show(this.#liveLine({ phase: 'searching', reps: 0 }));
  }

  /** See element.d.ts. */
  async analyze(recording, options) {
    const load = ++this.#loads;
    try {
      await init();
      const report = analyze(recording, options);
      if (load === this.#loads) this.#finish(report);
      return report;
    } catch (error) {
      if (load === this.#loads) this.#trouble(error);
      throw error;
    }
  }

  /** See element.d.ts. */
  async start(setup = this.#setup) {
    try {
      await init();
      this.#close();
      this.#session = new Session(setup ?? {});
      this.#setup = setup;
    } catch (error) {
      this.#trouble(error);
      throw error;
    }
    this.#session.addEventListener('rep', ({ detail }) => this.#tell('rep', detail));
    this.#session.addEventListener('set', ({ detail }) => this.#finish(detail));
    this.#report = null;
    this.#show(this.#liveLine(this.#session.live));
  }

  /** See element.d.ts. */
  push(t_ms, points, grey) {
    const live = this.#own().push(t_ms, points, grey);
    if (!this.#report) this.#update(live);
    this.#tell('live', live);
    return live;
  }

  /** See element.d.ts. */
  finish(options) {
    return this.#own().finish(options);
  }

  #own() {
    if (this.#session) return this.#session;
    throw new UnderfootError('not-initialised', 'no set is running in this element: await start(setup) first');
  }

  async #load(src) {
    const load = ++this.#loads;
    try {
      const answer = await fetch(src);
      if (!answer.ok) throw new UnderfootError('load-failed', `${src} answered with status ${answer.status}`);
      const text = await answer.text();
      if (load === this.#loads) await this.analyze(text);
    } catch (error) {
      // `analyze` has shown its own.
      if (load === this.#loads) this.#trouble(error);
    }
  }

  #finish(report) {
    this.report = report;
    this.#tell('report', report);
  }

  #close() {
    this.#session?.free();
    this.#session = null;
  }

  #trouble(error) {
    this.#show(el('p', { class: 'trouble', part: 'trouble', role: 'alert' }, error.message));
    this.#tell('trouble', error);
  }

  #tell(name, detail) {
    this.dispatchEvent(new CustomEvent(`underfoot-${name}`, { detail, bubbles: true, composed: true }));
  }

  #show(node) {
    this.#root.replaceChildren(node);
  }

  #liveLine({ phase, reps }) {
    return el(
      'p',
      { class: 'live', part: 'live', role: 'status' },
      el('span', { part: 'phase' }, this.#words.phases[phase]),
      el('span', { part: 'reps' }, repetitions(this.#words, reps)),
    );
  }

  /** Only what changed is written: a screen reader hears each change once. */
  #update({ phase, reps }) {
    const [first, second] = this.#root.querySelectorAll('.live > span');
    if (!first) return;
    const [now, count] = [this.#words.phases[phase], repetitions(this.#words, reps)];
    if (first.textContent !== now) first.textContent = now;
    if (second.textContent !== count) second.textContent = count;
  }
}

/** See element.d.ts. */
export function defineUnderfoot(name = 'underfoot-set') {
  // On a server there is nothing to register with.
  if (!globalThis.customElements) return;
  if (!customElements.get(name)) customElements.define(name, name === 'underfoot-set' ? UnderfootSet : class extends UnderfootSet {});
}
