/** Several batches in one room: what meets in time, and what they cannot share. Pure. */
import type { CropStageName, Range } from '../crops/library/crop';
import type { Day } from './calendar-day';
import type { BatchPlan } from './plan';
import type { PlanRequest } from './request';
import type { StageSpan } from './stages';

export interface NamedBatch {
  readonly name: string;
  readonly request: PlanRequest;
  readonly plan: BatchPlan;
}

/** Trays that one mat warms, and one lamp lights. */
export interface Capacity {
  readonly matTrays: number;
  readonly lightTrays: number;
}

/** From the morning of `from` to that of `to`. */
interface Days {
  readonly from: Day;
  readonly to: Day;
}

/** One side of a contradiction: who, in which stage, and what it wants. */
export interface Wanting {
  readonly batch: string;
  readonly stage: CropStageName;
  readonly wants: Range;
}

export type Clash = Days &
  (
    | {
        readonly kind: 'mat' | 'light';
        readonly place: string;
        readonly batches: readonly string[];
        readonly trays: number;
        readonly holds: number;
      }
    /** Two batches on one mat want root zones that no one temperature meets, C. */
    | { readonly kind: 'band'; readonly place: string; readonly sides: readonly [Wanting, Wanting] }
    /** Two batches under one lamp want light that no one day meets, mol/m2/d. */
    | { readonly kind: 'sum'; readonly place: string; readonly sides: readonly [Wanting, Wanting] }
    /** One room cannot be two. */
    | { readonly kind: 'room'; readonly batches: readonly [string, string] }
  );

export interface RoomCheck {
  /** Pairs of batches that are in the room at once. */
  readonly overlaps: readonly (Days & { readonly batches: readonly [string, string] })[];
  readonly clashes: readonly Clash[];
}

/** What `batches` have in common, in the order of days. */
export function checkRoom(batches: readonly NamedBatch[], capacity: Capacity): RoomCheck {
  const together = pairs(batches);
  const overlaps = together.flatMap(([a, b]) => {
    const days = meeting(presence(a), presence(b));
    return days === null ? [] : [{ ...days, batches: [a.name, b.name] as const }];
  });
  const clashes = [
    ...booked('mat', batches, capacity.matTrays),
    ...booked('light', batches, capacity.lightTrays),
    ...together.flatMap(([a, b]) => [
      ...against('band', a, b),
      ...against('sum', a, b),
      ...otherRoom(a, b),
    ]),
  ];
  const byDay = (a: Days, b: Days): number => a.from - b.from || a.to - b.to;
  return { overlaps: overlaps.sort(byDay), clashes: clashes.sort(byDay) };
}

const pairs = <T>(all: readonly T[]): (readonly [T, T])[] =>
  all.flatMap((a, i) => all.slice(i + 1).map((b) => [a, b] as const));

function meeting(a: Days, b: Days): Days | null {
  const from = Math.max(a.from, b.from);
  const to = Math.min(a.to, b.to);
  return from < to ? { from, to } : null;
}

const presence = ({ plan }: NamedBatch): Days => ({
  from: plan.dates.sow.planned,
  to: plan.dates.ready.planned,
});

/** What a batch stands on, or under, in a stage; null where it needs none. */
function placeOf(kind: 'mat' | 'light', { request }: NamedBatch, span: StageSpan): string | null {
  if (kind === 'light') return span.name === 'germinate' ? null : request.light;
  return span.needsMat ? request.mat : null;
}

/** Days on which the trays on one mat, or under one lamp, are more than it holds; days with the same batches together. */
function booked(kind: 'mat' | 'light', batches: readonly NamedBatch[], holds: number): Clash[] {
  const places = new Set(
    batches.flatMap((one) => one.plan.stages.flatMap((span) => placeOf(kind, one, span) ?? [])),
  );
  return [...places].flatMap((place) => {
    const spans = batches.flatMap((one) =>
      one.plan.stages
        .filter((span) => placeOf(kind, one, span) === place)
        .map(({ from, to }) => ({ from, to, name: one.name, trays: one.plan.seed.trays })),
    );
    const turns = [...new Set(spans.flatMap(({ from, to }) => [from, to]))].sort((a, b) => a - b);
    const clashes: Clash[] = [];
    turns.slice(1).forEach((to, i) => {
      const from = turns[i] ?? to;
      const there = spans.filter((span) => span.from <= from && span.to >= to);
      const trays = there.reduce((sum, span) => sum + span.trays, 0);
      if (trays <= holds) return;
      const names = there.map(({ name }) => name);
      const last = clashes.at(-1);
      const goesOn =
        last !== undefined && 'holds' in last && last.to === from && same(last.batches, names);
      if (goesOn) clashes.pop();
      const since = goesOn ? last.from : from;
      clashes.push({ kind, place, batches: names, trays, holds, from: since, to });
    });
    return clashes;
  });
}

const same = (a: readonly string[], b: readonly string[]): boolean => a.join('\n') === b.join('\n');

/** What a batch wants of the mat or the lamp in a stage. */
const wants = (kind: 'band' | 'sum', span: StageSpan): Range | null =>
  kind === 'band' ? span.rootZoneC : span.dliMolM2D;

/**
 * Stages at the same time on one place that no one setting meets. Tables give one number where a grower has a band, so
 * what differs by less than `SAME` of them is the same.
 */
function against(kind: 'band' | 'sum', a: NamedBatch, b: NamedBatch): Clash[] {
  const on = kind === 'band' ? 'mat' : 'light';
  return a.plan.stages.flatMap((one) =>
    b.plan.stages.flatMap((other): Clash[] => {
      const place = placeOf(on, a, one);
      const days = meeting(one, other);
      const [mine, theirs] = [wants(kind, one), wants(kind, other)];
      if (place === null || place !== placeOf(on, b, other)) return [];
      if (days === null || mine === null || theirs === null) return [];
      const apart = Math.max(mine.low - theirs.high, theirs.low - mine.high);
      if (apart <= SAME[kind]) return [];
      const sides = [
        { batch: a.name, stage: one.name, wants: mine },
        { batch: b.name, stage: other.name, wants: theirs },
      ] as const;
      return [{ kind, place, sides, ...days }];
    }),
  );
}

/** A band of a mat is about 2 K wide; light is even to a few mol over a tray (common practice). */
const SAME = { band: 1, sum: 3 } as const;

function otherRoom(a: NamedBatch, b: NamedBatch): Clash[] {
  const days = meeting(presence(a), presence(b));
  const [one, other] = [a.request.room, b.request.room];
  if (days === null || one === null || other === null) return [];
  const apart = Math.max(Math.abs(one.nightC - other.nightC), Math.abs(one.dayC - other.dayC));
  return apart <= SAME.band ? [] : [{ kind: 'room', batches: [a.name, b.name], ...days }];
}
