/**
 * The root zone as far as it is known: by its probe, or, while that is in doubt and the mat is off, by the mat below it,
 * which is then as warm. And the spells in which it was out of its band. Pure.
 */
import type { AlarmName } from '../../shared/alarms/catalogue';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { AlarmSpan } from './alarm-spans';
import { HEAT_EVIDENCE, SPELL_LIMITS as LIMITS } from './limits';
import { notesOf, type Reading, type Record } from './record';
import type { Away } from './weights';

/** The root zone at one reading. */
export interface RootPoint {
  readonly atMs: number;
  readonly celsius: number;
  readonly byMat: boolean;
  readonly reading: Reading;
}

export type Side = 'cold' | 'warm';

export interface Spell {
  readonly side: Side;
  /** From the band's edge to the band's edge, by straight lines between readings. */
  readonly fromMs: number;
  readonly toMs: number;
  readonly open: boolean;
  readonly points: readonly RootPoint[];
  /** The last one inside the band before it; null where the record begins in it. */
  readonly before: RootPoint | null;
  readonly worst: RootPoint;
  readonly degreeHours: number;
}

/** A mat is as warm as the tray on it so long after it went off. */
const MAT_COOL_MS = 15 * MINUTE_MS;
const DOUBTED: readonly AlarmName[] = [
  'probe-open',
  'probe-short',
  'probe-frozen',
  'probe-jumped',
  'probe-suspect',
];
/** A probe that stands still has done so for half an hour when it is told. */
const FROZEN_MS = 32 * MINUTE_MS;
const JUMP_MS = 5 * MINUTE_MS;

/** The root zone over the whole record; readings that tell nothing of it are left out. */
export function rootZoneOf(
  { readings }: Record,
  spans: readonly AlarmSpan[],
): readonly RootPoint[] {
  const doubts = spans
    .filter(({ alarm }) => DOUBTED.includes(alarm))
    .map(({ alarm, fromMs, toMs, endedMs }) => ({
      fromMs: fromMs - (alarm === 'probe-frozen' ? FROZEN_MS : JUMP_MS),
      // One that latched is in order again when what it told of is over; a jump is over when it has jumped back.
      toMs: endedMs ?? toMs,
    }));
  const points: RootPoint[] = [];
  let offSinceMs = Number.NEGATIVE_INFINITY;
  for (const reading of readings) {
    const { atMs, rootZoneC, matC, matDutyShare } = reading;
    if (!(matDutyShare < HEAT_EVIDENCE.noDuty)) offSinceMs = atMs;
    const inDoubt = doubts.some(({ fromMs, toMs }) => atMs >= fromMs && atMs <= toMs);
    const known = !Number.isNaN(rootZoneC) && !inDoubt;
    if (known) points.push({ atMs, celsius: rootZoneC, byMat: false, reading });
    else if (!Number.isNaN(matC) && atMs - offSinceMs >= MAT_COOL_MS)
      points.push({ atMs, celsius: matC, byMat: true, reading });
  }
  return points;
}

/** How far a point is beyond the edge of its band, K; below 0 inside, NaN without a band. */
export function beyondK({ celsius, reading }: RootPoint, side: Side): number {
  const { band } = reading;
  if (band === null) return Number.NaN;
  return side === 'cold' ? band.lowC - celsius : celsius - band.highC;
}

/** Times out of the band that are worth telling: not those of a tray on its way to a band it has only just been given. */
export function spellsOf(
  record: Record,
  all: readonly RootPoint[],
  side: Side,
  marked: readonly Away[],
): readonly Spell[] {
  const changes = changesOf(record, marked);
  // A tray in its tub is not in its band, and nobody expects it.
  const points = all.filter(
    ({ atMs }) => !marked.some((one) => atMs >= one.fromMs && atMs <= one.toMs),
  );
  const runs: { points: RootPoint[]; before: RootPoint | null }[] = [];
  let inside: RootPoint | null = null;
  let current: RootPoint[] | null = null;
  let wayFromMs = changes[0] ?? Number.NaN;
  let nextChange = 0;
  points.forEach((point, i) => {
    while ((changes[nextChange] ?? Number.POSITIVE_INFINITY) <= point.atMs)
      wayFromMs = changes[nextChange++] ?? wayFromMs;
    const k = beyondK(point, side);
    const isBack = !(k > (current === null ? LIMITS.beyondK : LIMITS.backK));
    if (isBack) {
      inside = point;
      current = null;
      if (k <= LIMITS.beyondK) wayFromMs = Number.NaN;
      return;
    }
    if (current === null && isOnItsWay(points, i, side, wayFromMs)) {
      inside = null;
      return;
    }
    if (current === null) {
      const last = runs.at(-1);
      const joins = last && point.atMs - (last.points.at(-1)?.atMs ?? 0) <= LIMITS.joinMs;
      if (joins) current = last.points;
      else {
        current = [];
        runs.push({ points: current, before: inside });
      }
    }
    current.push(point);
  });
  return runs.flatMap((run) => spellOf(run.points, run.before, side, points));
}

/** Soaked, sown, another stage or another band: the tray has a way to go. */
function changesOf(record: Record, marked: readonly Away[]): readonly number[] {
  const marks = notesOf(record, 'mark').map(({ atMs }) => atMs);
  const bands = record.readings.flatMap(({ band, atMs }, i) => {
    const before = record.readings[i - 1]?.band;
    return band?.lowC !== before?.lowC || band?.highC !== before?.highC ? [atMs] : [];
  });
  return [...marks, ...bands, ...marked.map(({ toMs }) => toMs)].sort((a, b) => a - b);
}

function isOnItsWay(points: readonly RootPoint[], i: number, side: Side, fromMs: number): boolean {
  const point = points[i];
  if (point === undefined || !(point.atMs - fromMs <= LIMITS.wayMs)) return false;
  if (point.atMs - fromMs <= LIMITS.wayFirstMs) return true;
  let j = i;
  while (j > 0 && point.atMs - (points[j]?.atMs ?? 0) < HOUR_MS) j--;
  const movedK = point.celsius - (points[j]?.celsius ?? Number.NaN);
  return (side === 'cold' ? movedK : -movedK) >= LIMITS.wayKPerH;
}

function spellOf(
  points: readonly RootPoint[],
  before: RootPoint | null,
  side: Side,
  all: readonly RootPoint[],
): readonly Spell[] {
  const [first] = points;
  const last = points.at(-1);
  if (first === undefined || last === undefined) return [];
  const k = (point: RootPoint): number => beyondK(point, side);
  const worst = points.reduce((most, point) => (k(point) > k(most) ? point : most), first);
  const after = all[all.indexOf(last) + 1] ?? null;
  const fromMs = before === null ? first.atMs : crossingMs(before, first, k);
  const toMs = after === null ? last.atMs : crossingMs(after, last, k);
  const { deepK, leastMs } = LIMITS[side];
  if (k(worst) < deepK || toMs - fromMs < leastMs) return [];
  const spell = { side, fromMs, toMs, open: after === null, points, before, worst };
  return [{ ...spell, degreeHours: degreeHoursOf(spell) }];
}

/** By straight lines between its points, from the edge of the band and back to it. */
function degreeHoursOf(spell: Omit<Spell, 'degreeHours'>): number {
  const { side, points, fromMs, toMs, open, before } = spell;
  const [first] = points;
  const last = points.at(-1);
  const depth = (point: RootPoint | undefined): number =>
    point === undefined ? 0 : Math.max(0, beyondK(point, side));
  const line = [
    { atMs: fromMs, k: before === null ? depth(first) : 0 },
    ...points.map((point) => ({ atMs: point.atMs, k: depth(point) })),
    { atMs: toMs, k: open ? depth(last) : 0 },
  ];
  return line.reduce((sum, { atMs, k }, i) => {
    const from = line[i - 1];
    return from === undefined ? 0 : sum + ((from.k + k) / 2) * ((atMs - from.atMs) / HOUR_MS);
  }, 0);
}

/** The parts of a spell before and after a time; null where one has no reading. */
export function splitAt(spell: Spell, atMs: number): readonly [Spell | null, Spell | null] {
  const part = (points: readonly RootPoint[], ends: Partial<Spell>): Spell | null => {
    const [first] = points;
    if (first === undefined) return null;
    const worst = points.reduce(
      (most, point) => (beyondK(point, spell.side) > beyondK(most, spell.side) ? point : most),
      first,
    );
    const bare = { ...spell, ...ends, points, worst };
    return { ...bare, degreeHours: degreeHoursOf(bare) };
  };
  const before = spell.points.filter((point) => point.atMs <= atMs);
  const after = spell.points.filter((point) => point.atMs > atMs);
  return [part(before, { toMs: atMs, open: true }), part(after, { fromMs: atMs, before: null })];
}

/** When the straight line from a point inside to one outside crosses the edge. */
function crossingMs(
  inside: RootPoint,
  outside: RootPoint,
  k: (point: RootPoint) => number,
): number {
  const [a, b] = [k(inside), k(outside)];
  if (!(b > 0) || !(a < 0)) return inside.atMs;
  return inside.atMs + ((outside.atMs - inside.atMs) * -a) / (b - a);
}
