/// <reference lib="esnext.disposable" />
import type {
  FootOutline,
  FramePoints,
  GreyCrop,
  Live,
  LiveValues,
  MarkedJoint,
  Marks,
  ModuleSource,
  ModuleSources,
  Options,
  Recording,
  Report,
  SessionEvents,
  SessionSetup,
  Sides,
} from './index.js';

/**
 * A worker that runs sessions, so that the page's thread stays free. Fails with `UnderfootError` as the calls on the page do.
 * When the worker itself fails or is ended by the browser, calls that wait and all later ones are rejected: `load-failed` when
 * its script or the module could not be run, `internal` when it died later (noticed where the page has `navigator.locks`,
 * which needs https or localhost), `freed` after `terminate()`.
 */
export class UnderfootWorker {
  /**
   * @param options `worker`: one of your own that runs `underfoot/worker-main.js`, where the bundler does not find it by itself;
   * `source`: where it loads the module, or the module and its parts, from (anything that can be sent to a worker: a URL, bytes, a
   * compiled module).
   */
  constructor(options?: { worker?: Worker; source?: Exclude<ModuleSource, Response | Promise<Response> | Request> | ModuleSources });

  /** A session for frames of this set-up. */
  open(setup: SessionSetup): Promise<WorkerSession>;

  /**
   * Reads a whole recording. `series: true` adds the curves; `signal` gives it up: the promise is rejected with the signal's reason at
   * once, and what the worker has not begun it never does.
   */
  analyze(recording: Recording | string, options?: Options & { series?: boolean; signal?: AbortSignal }): Promise<Report>;

  /** Ends the worker; calls still waiting are rejected with `freed`. */
  terminate(): void;
}

/** A session in the worker; calls are answered in the order in which they were made. Made by {@link UnderfootWorker.open}. */
export class WorkerSession extends EventTarget {
  private constructor();

  /** Takes one frame: time in ms, points in px. The points and cut-outs are copied. */
  push(t_ms: number, points: FramePoints, grey?: readonly GreyCrop[] | null): Promise<Live>;

  /** Follows feet and shins in the pictures from marks on; see `Session.mark`. */
  mark(t_ms: number, joints: Marks['joints'], pictures: readonly GreyCrop[]): Promise<void>;

  /** Where the last frame's picture showed what was marked, px. */
  followed(): Promise<Record<MarkedJoint, [number, number] | null> | null>;

  /** The feet as the last frame's cut-outs showed them. */
  feet(): Promise<Sides<FootOutline | null>>;
  /** Every check in the last frame. */
  values(): Promise<LiveValues>;

  /** The report so far. `series: true` adds the curves. */
  report(options?: { series?: boolean }): Promise<Report>;

  /** The report, told to the listeners of `set` as well. */
  finish(options?: { series?: boolean }): Promise<Report>;

  /** Everything pushed so far, as a recording. */
  recording(): Promise<Recording>;

  /** Forgets every frame; set-up and settings stay. */
  reset(): Promise<void>;

  /** Gives the memory back. Calling it again is harmless. */
  free(): Promise<void>;

  /** `free`, for `await using`. */
  [Symbol.asyncDispose](): Promise<void>;

  addEventListener<K extends keyof SessionEvents>(
    type: K,
    listener: ((event: SessionEvents[K]) => void) | { handleEvent(event: SessionEvents[K]): void } | null,
    options?: boolean | AddEventListenerOptions,
  ): void;
  addEventListener(type: string, listener: EventListenerOrEventListenerObject | null, options?: boolean | AddEventListenerOptions): void;
}
