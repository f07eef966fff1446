/** What a tray loses by lid place, by weight: whole days, so that the hours of a day fall out. Pure. */
import type { LidPlace } from '../../shared/profile/profile';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { DRYING_EVIDENCE } from '../explain/limits';
import { between, notesOf, type Reading, type Record } from '../explain/record';
import { givenDoses } from './dose-times';
import { type Figure, figureOf } from './figure';
import { MODEL_LIMITS as LIMITS } from './limits';

/** Weights further apart than that are no span. */
const APART_MS = 30 * MINUTE_MS;

/** Loss under a lid over so many days. */
export interface Drying {
  readonly lid: LidPlace;
  readonly gPerH: Figure;
  readonly days: number;
}

/** Whole days of one span without a lid moved, the tray away or the power off. */
export interface DriedDays {
  readonly lid: LidPlace;
  readonly fromMs: number;
  readonly toMs: number;
  /** Hours of it, without those of doses that soaked in while nobody knows how fast it dried. */
  readonly hours: number;
  readonly lostG: number;
  readonly varG2: number;
}

/** Of each lid place that had a whole day lately, the newest last. */
export function dryingOf(record: Record): readonly Drying[] {
  const all = driedDays(record);
  return [...new Set(all.map(({ lid }) => lid))].map((lid) => {
    const days = all.filter((one) => one.lid === lid);
    const hours = days.reduce((sum, one) => sum + one.hours, 0);
    const lostG = days.reduce((sum, one) => sum + one.lostG, 0);
    const varG2 = days.reduce((sum, one) => sum + one.varG2, 0);
    return { lid, gPerH: figureOf(lostG / hours, Math.sqrt(varG2) / hours), days: hours / 24 };
  });
}

/** Spans of the last days, each cut to whole days from its end. */
export function driedDays(record: Record): readonly DriedDays[] {
  const fromMs = record.toMs - LIMITS.dryingDays * DAY_MS;
  return spansOf(record)
    .map((span) => span.filter(({ atMs }) => atMs >= fromMs))
    .flatMap((span) => wholeDays(record, span) ?? []);
}

/** Weights on end under one lid. Doses that were weighed, and hands, may lie between: their grams are known. */
function spansOf(record: Record): readonly (readonly Reading[])[] {
  const breaks = record.notes
    .filter(({ dated }) => isBreak(dated.entry))
    .map(({ atMs, dated }) => ({
      fromMs: atMs,
      toMs: atMs + (dated.entry.kind === 'mark' ? DRYING_EVIDENCE.drainMs : 0),
    }));
  const spans: Reading[][] = [];
  let next = 0;
  let blockedMs = Number.NEGATIVE_INFINITY;
  for (const reading of record.readings) {
    const { atMs, trayG, lid, note, stage } = reading;
    if (note.dated.entry.kind !== 'reading' || !Number.isFinite(trayG) || stage === null) continue;
    const span = spans.at(-1);
    const before = span?.at(-1);
    let isBroken =
      before === undefined || atMs - before.atMs > APART_MS || before.lid?.place !== lid?.place;
    for (let one = breaks[next]; one !== undefined && one.fromMs <= atMs; one = breaks[++next]) {
      isBroken = true;
      blockedMs = Math.max(blockedMs, one.toMs);
    }
    if (atMs < blockedMs) continue;
    if (isBroken || span === undefined) spans.push([reading]);
    else span.push(reading);
  }
  return spans;
}

/** What changes the weight by nobody knows how much. */
function isBreak(entry: Record['notes'][number]['dated']['entry']): boolean {
  if (entry.kind === 'dose') return entry.verdict !== 'seen' || !Number.isFinite(entry.gainedG);
  if (entry.kind === 'mark') return entry.mark !== 'refilled';
  return entry.kind === 'boot' || entry.kind === 'calibration';
}

function wholeDays(record: Record, span: readonly Reading[]): DriedDays | null {
  const lid = span[0]?.lid?.place;
  if (lid === undefined) return null;
  const added = addedOf(record);
  const isClear = (atMs: number): boolean =>
    added.every((one) => Math.abs(one.atMs - atMs) > LIMITS.endClearMs);
  // A dose is told when it was weighed: at the very end one may be soaking in of which nothing is written yet.
  const lastMs = (span.at(-1)?.atMs ?? 0) - LIMITS.endClearMs;
  // The end is moved back until neither end has water soaking in.
  for (
    let end = span.filter(({ atMs }) => atMs < lastMs).length - 1;
    end > 0;
    end -= LIMITS.readingsAnHour
  ) {
    const endMs = span[end]?.atMs ?? 0;
    const days = Math.floor((endMs - (span[LIMITS.endReadings]?.atMs ?? endMs)) / DAY_MS);
    if (days < 1) return null;
    const start = span.findIndex(({ atMs }) => atMs >= endMs - days * DAY_MS);
    const startMs = span[start]?.atMs ?? 0;
    if (!isClear(endMs) || !isClear(startMs)) continue;
    const inside = between(added, startMs, endMs);
    const { soakInShare, soakInByDayShare } = LIMITS;
    const share = lid === 'off-by-day' ? soakInByDayShare : soakInShare;
    const addedG2 = inside.reduce((sum, one) => sum + one.sdG ** 2 + (share * one.driedG) ** 2, 0);
    const dosedMs = inside.reduce((sum, one) => sum + one.lastsMs, 0);
    const g = inside.reduce((sum, one) => sum + one.g, 0);
    return {
      lid,
      ...{ fromMs: startMs, toMs: endMs },
      hours: (endMs - startMs - dosedMs) / HOUR_MS,
      lostG: weightAt(span, start) - weightAt(span, end) + g,
      varG2: 2 * LIMITS.endG ** 2 + addedG2,
    };
  }
  return null;
}

/** What a dose brought, or a hand changed. */
interface Added {
  readonly atMs: number;
  readonly g: number;
  readonly sdG: number;
  /** Of it, what dried while a dose soaked in, g. */
  readonly driedG: number;
  /** So long nobody knows how fast it dried. */
  readonly lastsMs: number;
}

function addedOf(record: Record): readonly Added[] {
  const doses = givenDoses(record).map(
    ({ atMs, fromMs, gainedG, driedG }): Added =>
      Number.isFinite(driedG)
        ? { atMs, g: gainedG + driedG, sdG: LIMITS.doseG, driedG, lastsMs: 0 }
        : { atMs, g: gainedG, sdG: LIMITS.unknownDoseG, driedG: 0, lastsMs: atMs - fromMs },
  );
  const hands = notesOf(record, 'handling')
    .filter(({ entry }) => entry.over && Number.isFinite(entry.afterG - entry.beforeG))
    .map(({ atMs, entry }): Added => {
      const g = entry.afterG - entry.beforeG;
      return { atMs, g, sdG: LIMITS.handG, driedG: 0, lastsMs: 0 };
    });
  return [...doses, ...hands].sort((a, b) => a.atMs - b.atMs);
}

/** Mean of the weights round one. */
function weightAt(span: readonly Reading[], at: number): number {
  const near = span.slice(Math.max(0, at - LIMITS.endReadings), at + LIMITS.endReadings + 1);
  return near.reduce((sum, { trayG }) => sum + trayG, 0) / near.length;
}
