/**
 * One life of a journal on one line of time, whatever the clocks said: its boots one after the other, each as long as
 * its uptime. Where a clock dates a boot, that is its place; where none does, or it goes backwards, a boot follows the
 * one before, and how long the board was off between them is not known. Pure.
 */
import { DAY_MS, MINUTE_MS } from '../../shared/units/time';
import type { DatedEntry } from '../journal/dating';

/** An entry on the line. */
export interface Noted {
  /** Its place on the line, ms: Unix time where the clock was right, and never before the one before. */
  readonly atMs: number;
  /** Time of day to show, Unix ms; null while the clock of its boot was never set. */
  readonly unixMs: number | null;
  readonly dated: DatedEntry;
}

/** One run of the board. */
export interface Boot {
  readonly number: number;
  /** The start of its uptime, and its last entry. */
  readonly fromMs: number;
  readonly toMs: number;
  /** Since the last entry of the boot before; null for the first one, and where no clock tells. */
  readonly offMs: number | null;
  /** The clock has gone backwards, or by more than a board is off for: one of both boots was dated wrongly. */
  readonly clockDoubtful: boolean;
  /** In the order in which it happened, which is not always that in which it was written. */
  readonly notes: readonly Noted[];
}

/** Clocks of two boots may differ by so much without being wrong, ms. */
const CLOCK_SLACK_MS = 10 * MINUTE_MS;
/** No board in service is off for longer: then it is a date that is wrong, or another crop. */
const OFF_MAX_MS = 7 * DAY_MS;

/** A tray's laptop has a date between these; a clock that says otherwise dates nothing. */
const EARLIEST_MS = Date.UTC(2000, 0, 1);
const LATEST_MS = Date.UTC(2200, 0, 1);
const orNull = (unixMs: number | null): number | null =>
  unixMs !== null && unixMs > EARLIEST_MS && unixMs < LATEST_MS ? unixMs : null;

/** The same entries, without times that no clock can mean. */
export const withSoundTimes = (entries: readonly DatedEntry[]): readonly DatedEntry[] =>
  entries.map(({ entry, life, unixMs, afterMs, beforeMs }) => ({
    entry,
    life,
    unixMs: orNull(unixMs),
    afterMs: orNull(afterMs),
    beforeMs: orNull(beforeMs),
  }));

/** The boots of one life, whose entries must be in the order of their sequence. */
export function bootsOf(entries: readonly DatedEntry[]): readonly Boot[] {
  const boots: Boot[] = [];
  for (const group of byBoot(entries)) {
    const boot = placed(group, boots.at(-1) ?? null);
    if (boot !== null) boots.push(boot);
  }
  return boots;
}

function byBoot(entries: readonly DatedEntry[]): readonly (readonly DatedEntry[])[] {
  const groups: DatedEntry[][] = [];
  let number = Number.NaN;
  for (const one of entries) {
    if (one.entry.boot !== number) groups.push([]);
    number = one.entry.boot;
    groups.at(-1)?.push(one);
  }
  return groups;
}

function placed(group: readonly DatedEntry[], before: Boot | null): Boot | null {
  // Dense records are written after the alarm they lead up to.
  const entries = [...group].sort((a, b) => a.entry.uptimeMs - b.entry.uptimeMs);
  const [first] = entries;
  const last = entries.at(-1);
  if (first === undefined || last === undefined) return null;
  const dated = entries.find(({ unixMs }) => unixMs !== null);
  const clockMs = dated === undefined ? null : (dated.unixMs ?? 0) - dated.entry.uptimeMs;
  const offMs = clockMs === null || before === null ? null : clockMs - before.toMs;
  const clockDoubtful = offMs !== null && (offMs < -CLOCK_SLACK_MS || offMs > OFF_MAX_MS);
  const isFirst = before === null;
  const follows = clockMs === null || clockDoubtful;
  const fromMs = isFirst ? (clockMs ?? 0) : follows ? before.toMs : Math.max(before.toMs, clockMs);
  let atMs = Number.NEGATIVE_INFINITY;
  const notes = entries.map((one): Noted => {
    // A clock that is set again within a boot moves time a little, and never back.
    const byClock = one.unixMs !== null && !follows ? one.unixMs : fromMs + one.entry.uptimeMs;
    atMs = Math.max(atMs, fromMs, byClock);
    return { atMs, unixMs: one.unixMs, dated: one };
  });
  return {
    number: first.entry.boot,
    fromMs,
    toMs: Math.max(fromMs, notes.at(-1)?.atMs ?? fromMs),
    offMs: offMs === null || clockDoubtful ? null : Math.max(0, offMs),
    clockDoubtful,
    notes,
  };
}
