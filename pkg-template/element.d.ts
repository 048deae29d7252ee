import type { Labels } from './words.js';
import type { FramePoints, GreyCrop, Live, Options, Recording, RepEvent, Report, SessionSetup, UnderfootError } from './index.js';

/**
 * `<underfoot-set>`: the live state of a set, then its result. Several may stand on a page, also inside other shadow roots.
 *
 * Attribute `src`: URL of a recording (JSON), which is read and shown; without it the result is cleared.
 *
 * Events, which bubble and leave shadow roots: `underfoot-live`, `underfoot-rep`, `underfoot-report`, `underfoot-trouble`.
 *
 * Style: custom properties `--underfoot-ink`, `--underfoot-paper`, `--underfoot-accent`, `--underfoot-line` (colours),
 * `--underfoot-font` (font shorthand), `--underfoot-space`, `--underfoot-live-size`, `--underfoot-cue-size` (lengths); parts `live`,
 * `phase`, `reps`, `result`, `cue`, `cue-text`, `why`, `film-next`, `finding`, `resting-shape`, `no-reps`, `table`, `mark` (with `clear`,
 * `unsure`, `fault`, `unseen`), `notes`, `cautions`, `trouble`.
 */
export class UnderfootSet extends HTMLElement {
  /** What `start()` without an argument uses. Setting it ends the running set. */
  setup: SessionSetup | null;

  /** The labels; English unless set, see `underfoot/words`. A report's sentences are put into another language by `translated`. */
  words: Labels;

  /** The report on show; set it to show one that was made elsewhere, or null to clear. */
  report: Report | null;

  /** Reads a whole recording and shows the result. `series: true` adds the curves to the report. */
  analyze(recording: Recording | string, options?: Options & { series?: boolean }): Promise<Report>;

  /** Begins a set: loads the module if need be. */
  start(setup?: SessionSetup): Promise<void>;

  /** Takes one frame: time in ms, points in px; see `Session.push`. */
  push(t_ms: number, points: FramePoints, grey?: readonly GreyCrop[] | null): Live;

  /** Shows the result of the frames so far; the set stays open until the next `start` or until the element is removed. */
  finish(options?: { series?: boolean }): Report;
}

/** Registers the element, under another name if you like; again is harmless, and so is a server, where it does nothing. */
export function defineUnderfoot(name?: string): void;

declare global {
  interface HTMLElementTagNameMap {
    'underfoot-set': UnderfootSet;
  }
  interface HTMLElementEventMap {
    /** State after a frame. */
    'underfoot-live': CustomEvent<Live>;
    /** A repetition is over; see `SessionEvents`. */
    'underfoot-rep': CustomEvent<RepEvent>;
    /** The result is on show. */
    'underfoot-report': CustomEvent<Report>;
    /** Something was refused; `detail.message` is on show. */
    'underfoot-trouble': CustomEvent<UnderfootError>;
  }
}
