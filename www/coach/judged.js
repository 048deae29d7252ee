// @ts-check
/** Results judged here: the client's points, the limits of the check that was made on this desk, today's core. Computed once and stored. */
import { core } from '../app/core.js';
import { analyze } from '../app/measurer.js';
import { change, deskDatabase, resultOf } from './desk-store.js';
import { differences } from './recompute.js';

/** @typedef {import('./desk-store.js').DeskCard} DeskCard */
/** @typedef {import('./desk-store.js').SentCheck} SentCheck */
/** @typedef {import('../share/check-link.js').Check['thresholds']} Lines */

/**
 * @typedef {object} JudgedSet
 * @property {string} wanted the view asked for, or ''
 * @property {string} day of filming
 * @property {any} report without curves
 * @property {string[]} differences from what the client's page said
 * @property {Lines} lines it was judged by, where they are not the usual ones
 * @property {Lines | null} other the limits that the file names, where those were not used
 */

/** @typedef {{ id: string, key: string, sets: JudgedSet[] }} Judged */

/** The limits for a result: those of the coach's own check, never a stranger's. @param {DeskCard} card @param {Map<number, SentCheck>} sent @returns {Lines | null} null: those in the file, which the coach took for theirs */
export function linesFor(card, sent) {
  const own = card.ref === null ? undefined : sent.get(card.ref);
  if (own) return own.check.thresholds;
  return card.own ? null : {};
}

/** @param {Lines | null} lines */
async function keyOf(lines) {
  const { version } = await core();
  return `${version} ${JSON.stringify(lines)}`;
}

/**
 * @param {DeskCard} card of a file
 * @param {Map<number, SentCheck>} sent
 * @returns {Promise<Judged>}
 */
export async function judge(card, sent) {
  const lines = linesFor(card, sent);
  const key = await keyOf(lines);
  const db = await deskDatabase();
  /** @type {Judged | undefined} */
  const stored = await db.get('reports', card.id);
  if (stored?.key === key) return stored;
  const result = await resultOf(card);
  /** @type {JudgedSet[]} */
  const sets = [];
  for (const set of result.sets) {
    const used = lines ?? set.thresholds;
    const report = await analyze(set.recording, { thresholds: used, hurts: Boolean(set.hurts) });
    const same = JSON.stringify(sorted(used)) === JSON.stringify(sorted(set.thresholds));
    sets.push({
      wanted: set.wanted,
      day: set.day < card.day ? set.day : card.day,
      report,
      differences: differences(set.report, report),
      lines: used,
      other: same ? null : set.thresholds,
    });
  }
  const judged = { id: card.id, key, sets };
  const brief = {
    key,
    findings: sets.map(({ report }) => ({ kind: report.finding.kind, side: report.finding.side })),
    reps: sets.reduce((n, s) => n + s.report.reps.length, 0),
  };
  // Storing is a convenience: a full device still shows what it computed.
  await Promise.all([db.put('reports', judged), change(card.id, { brief })]).catch(() => {});
  card.brief = brief;
  return judged;
}

/** @param {Lines} lines */
function sorted(lines) {
  return Object.entries(lines)
    .map(([check, { low, high }]) => [check, low ?? null, high ?? null])
    .sort();
}

/**
 * Judges what was not yet, newest first, one at a time.
 * @param {DeskCard[]} cards
 * @param {Map<number, SentCheck>} sent
 * @param {(card: DeskCard) => void} done
 * @param {() => boolean} wanted whether anybody still waits for it
 */
export async function judgeAll(cards, sent, done, wanted) {
  for (const card of [...cards].reverse()) {
    if (card.kind !== 'file' || card.again || card.brief?.key === (await keyOf(linesFor(card, sent)))) continue;
    if (!wanted()) return;
    // One that can't be read says so when it is opened.
    const judged = await judge(card, sent).catch(() => null);
    if (judged) done(card);
  }
}
