import type { CheckName, CueId, FilmId, Finding, Live, Mark, NoteCode, Report, Verdict } from './index.js';

/** A sentence for one foot, with `{side}` for its word, and for both. */
export type Sided = string | { one: string; both: string };

/** The element's labels; words in braces are filled in. */
export interface Labels {
  /** Language, as in an element's `lang`. */
  lang: string;
  result: string;
  check: string;
  /** With `{n}`. */
  rep: string;
  shallow: string;
  tableName: string;
  caption: string;
  noReps: string;
  /** One repetition; with `{n}` several. */
  one: string;
  many: string;
  checks: Record<CheckName, string>;
  units: Record<CheckName, string>;
  /** As the end of a row's name. */
  sides: Record<'left' | 'right', string>;
  verdicts: Record<Verdict, string>;
  phases: Record<Live['phase'], string>;
  /** Why a check was not seen. */
  why: Record<NonNullable<Mark['why']>, string>;
}

/** Labels, and a sentence for each stable name of a report. */
export interface Words extends Labels {
  /** Inside a sentence. */
  sideWords: Record<'left' | 'right' | 'both', string>;
  cues: Record<CueId, Sided>;
  /** What is found; kinds that a later version adds may be in it already. */
  findings: Record<Finding['kind'], string> & Record<string, string>;
  /** With `{reps}`. */
  inReps: string;
  films: Record<FilmId, string>;
  notes: Record<NoteCode, string>;
  cautions: readonly string[];
}

/** The element's labels in English; a report's own sentences are English. */
export const en: Labels;
/** German. */
export const de: Words;
/** Spanish. */
export const es: Words;

/** The report with its sentences in another language, by their stable names; the evidence's numbers are left to the table. */
export function translated(report: Report, words: Words): Report;
