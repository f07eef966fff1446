/**
 * Gives journal entries their time of day. Entries carry boot and uptime only; a `clock` entry dates
 * all entries of its boot, earlier ones too. One that a later one of the boot sets right dates none. Pure.
 */
import { WRONG_CLOCK_MS } from '../../shared/journal/clock';
import type { JournalEntry } from '../../shared/journal/kinds';

export interface DatedEntry {
  readonly entry: JournalEntry;
  /** Which life of the controller's journal it comes from. */
  readonly life: number;
  /** Unix ms, or null when the clock was never set in its boot. */
  readonly unixMs: number | null;
  /** For an entry without time of day: it happened after and before these, Unix ms; null when unknown. */
  readonly afterMs: number | null;
  readonly beforeMs: number | null;
}

interface ClockPoint {
  readonly uptimeMs: number;
  readonly unixMs: number;
}

function clockPoints(entries: readonly JournalEntry[]): Map<number, ClockPoint[]> {
  const byBoot = new Map<number, ClockPoint[]>();
  for (const entry of entries) {
    if (entry.kind !== 'clock') continue;
    const points = byBoot.get(entry.boot) ?? [];
    points.push({ uptimeMs: entry.uptimeMs, unixMs: entry.unixMs });
    byBoot.set(entry.boot, points);
  }
  return byBoot;
}

/** The settings of a boot that its last one bears out: it is how the grower left the clock. */
function rightOnes(points: readonly ClockPoint[]): ClockPoint[] {
  const atBootMs = ({ unixMs, uptimeMs }: ClockPoint): number => unixMs - uptimeMs;
  let right = points.slice(-1);
  for (const point of points.slice(0, -1).reverse()) {
    const [next] = right;
    if (next === undefined || Math.abs(atBootMs(next) - atBootMs(point)) > WRONG_CLOCK_MS) continue;
    right = [point, ...right];
  }
  return right;
}

/** Time of day of an uptime: by the last setting of the clock before it, or by the first after it. */
function timeOf(points: readonly ClockPoint[] | undefined, uptimeMs: number): number | null {
  if (points === undefined) return null;
  let point = points[0];
  for (const one of points) if (one.uptimeMs <= uptimeMs) point = one;
  return point === undefined ? null : point.unixMs + (uptimeMs - point.uptimeMs);
}

/** Dates the entries of one life, which must be in the order of their sequence. */
export function dateEntries(entries: readonly JournalEntry[], life = 1): readonly DatedEntry[] {
  const points = new Map(
    [...clockPoints(entries)].map(([boot, all]) => [boot, rightOnes(all)] as const),
  );
  const times = entries.map((entry) => timeOf(points.get(entry.boot), entry.uptimeMs));
  const before: (number | null)[] = new Array(times.length).fill(null);
  let next: number | null = null;
  for (let i = times.length - 1; i >= 0; i--) {
    next = times[i] ?? next;
    before[i] = next;
  }
  let after: number | null = null;
  return entries.map((entry, i) => {
    const unixMs = times[i] ?? null;
    after = unixMs ?? after;
    return { entry, life, unixMs, afterMs: after, beforeMs: before[i] ?? null };
  });
}

/** Whether an entry lies, or may lie, between two times (Unix ms, either may be null). */
export function within(dated: DatedEntry, sinceMs: number | null, untilMs: number | null): boolean {
  const latest = dated.unixMs ?? dated.beforeMs;
  const earliest = dated.unixMs ?? dated.afterMs;
  if (sinceMs !== null && latest !== null && latest < sinceMs) return false;
  if (untilMs !== null && earliest !== null && earliest > untilMs) return false;
  return true;
}
