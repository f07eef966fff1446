/** Figures of a tray's model held against trays of the bench whose truth is known. Pure. */
import { Random } from '../../firmware/bench/random';
import type { GrowingTray } from '../../firmware/bench/season/growing-trays';
import type { TrayMoment } from '../../firmware/bench/season/tray-truth';
import type { WarmTray } from '../../firmware/bench/season/warm-trays';
import type { WateredTray } from '../../firmware/bench/season/watered-trays';
import type { JournalEntry } from '../../shared/journal/kinds';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { type Record, recordOf } from '../explain/record';
import { dateEntries } from '../journal/dating';
import { driedDays, dryingOf } from './drying';
import { feltDayOf } from './felt-hours';
import type { Figure } from './figure';
import { growthOf } from './growth';
import { alikeStretches, heatLossOf } from './loss';
import { matHealthOf } from './mat';
import { pumpFlowOf } from './pump-flow';
import { scaleZeroOf } from './scale-zero';
import { type FittedStretch, fittedStretches } from './stretches';

/** What is judged, and how its error is told: as a share, or as it is. */
export const JUDGED = {
  'mat, W': 'share',
  'heat held, Wh/K': 'share',
  'loss, W/K': 'share',
  'reach of the mat, K': 'share',
  'surroundings, C': 'plain',
  'coldest hour, C': 'plain',
  'any hour of the day, C': 'plain',
  'drying, g/h': 'share',
  'drying of a watered tray, g/h': 'share',
  'growth, g/d': 'plain',
  'zero of the scale, g/d': 'plain',
  'flow of the pump, ml/s': 'share',
} as const;
export type Judged = keyof typeof JUDGED;

/** A figure that was told, or null, and what is so. */
export interface Judgement {
  readonly seed: number;
  readonly what: Judged;
  readonly told: Figure | null;
  readonly truth: number;
}

/** Scales creep by up to so much, up or down, g a day: put into the journal, as such a scale would. */
const CREEP_G = 8;

export function judgeWarm(tray: WarmTray): readonly Judgement[] {
  const { seed, moments, matW } = tray;
  const judged = judgementsOf(seed);
  const record = recordIn(tray, tray.journal);
  const stretches = fittedStretches(record);
  const health = matHealthOf(record, stretches);
  const mat = health.ok ? health.value.now : null;
  const loss = health.ok ? heatLossOf(stretches, health.value) : null;
  const told = loss?.ok ? loss.value : null;
  const last = stretches.at(-1);
  const lossWK = mean(moments.map((one) => one.lossWK));
  const here = inside(moments, record, last?.fromMs ?? 0, last?.toMs ?? 0);
  return [
    judged(
      'mat, W',
      mat === null ? null : { value: mat.watts, low: mat.lowW, high: mat.highW },
      matW,
    ),
    judged(
      'heat held, Wh/K',
      health.ok ? health.value.heldWhK : null,
      mean(here.map(({ capacityJK }) => capacityJK)) / 3600,
    ),
    judged('loss, W/K', told?.lossWK ?? null, lossWK),
    judged('reach of the mat, K', told?.reachK ?? null, matW / lossWK),
    judged('surroundings, C', told?.aroundC ?? null, mean(here.map(({ aroundC }) => aroundC))),
    ...(loss?.ok ? feltHours(tray, record, alikeStretches(stretches)) : []),
    ...dried(seed, record, moments, 'drying, g/h'),
    zeroJudged(tray),
  ];
}

export function judgeWatered(tray: WateredTray): readonly Judgement[] {
  const record = recordIn(tray, tray.journal);
  const flow = pumpFlowOf(record);
  return [
    ...dried(tray.seed, record, tray.moments, 'drying of a watered tray, g/h'),
    judgementsOf(tray.seed)(
      'flow of the pump, ml/s',
      flow.ok ? flow.value.mlPerS : null,
      tray.mlPerS,
    ),
  ];
}

/** Between the two times that were told, whichever they are. */
export function judgeGrowing(tray: GrowingTray): readonly Judgement[] {
  const record = recordIn(tray, tray.journal);
  const growth = growthOf(record);
  const here = growth.ok
    ? inside(tray.moments, record, growth.value.fromMs, growth.value.toMs)
    : tray.moments;
  const [first] = here;
  const last = here.at(-1);
  const days = ((last?.atMs ?? 0) - (first?.atMs ?? 0)) / DAY_MS;
  const truth = ((last?.grownG ?? 0) - (first?.grownG ?? 0)) / days;
  const told = growth.ok ? growth.value.gPerDay : null;
  return [judgementsOf(tray.seed)('growth, g/d', told, truth), zeroJudged(tray)];
}

const judgementsOf =
  (seed: number) =>
  (what: Judged, told: Figure | null, truth: number): Judgement => ({ seed, what, told, truth });

const recordIn = (
  { profile, profileId }: Pick<WarmTray, 'profile' | 'profileId'>,
  journal: readonly JournalEntry[],
): Record =>
  recordOf(dateEntries(journal), { byId: new Map([[profileId, profile]]), activeId: profileId });

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** Moments of a time on the record's line. */
function inside<Moment extends { readonly atMs: number }>(
  moments: readonly Moment[],
  record: Record,
  fromMs: number,
  toMs: number,
): readonly Moment[] {
  const startMs = record.boots[0]?.fromMs ?? 0;
  return moments.filter(({ atMs }) => startMs + atMs >= fromMs && startMs + atMs <= toMs);
}

/** The coldest hour that was told, and one by the seed: the coldest is chosen by what is told, and so errs that way. */
function feltHours(
  { seed, moments }: WarmTray,
  record: Record,
  stretches: readonly FittedStretch[],
): readonly Judgement[] {
  const judged = judgementsOf(seed);
  const day = feltDayOf(record, stretches);
  if (!day.ok) return [judged('coldest hour, C', null, Number.NaN)];
  const { hours, coldest } = day.value;
  const any = hours[Math.floor(new Random(seed ^ 0x40a7).between(0, hours.length))] ?? coldest;
  const startMs = record.boots[0]?.fromMs ?? 0;
  const here = stretches.flatMap(({ fromMs, toMs }) => inside(moments, record, fromMs, toMs));
  const truthAt = (hour: number): number =>
    mean(
      here
        .filter(({ atMs }) => Math.floor((startMs + atMs) / HOUR_MS) % 24 === hour)
        .map(({ aroundC }) => aroundC),
    );
  return [
    judged('coldest hour, C', coldest.aroundC, truthAt(coldest.hour)),
    judged('any hour of the day, C', any.aroundC, truthAt(any.hour)),
  ];
}

function dried(
  seed: number,
  record: Record,
  moments: readonly TrayMoment[],
  what: 'drying, g/h' | 'drying of a watered tray, g/h',
): readonly Judgement[] {
  const [told] = dryingOf(record);
  const [days] = driedDays(record);
  const here = days === undefined ? [] : inside(moments, record, days.fromMs, days.toMs);
  const [first] = here;
  const last = here.at(-1);
  const hours = ((last?.atMs ?? 0) - (first?.atMs ?? 0)) / HOUR_MS;
  const truth = ((last?.evaporatedG ?? 0) - (first?.evaporatedG ?? 0)) / hours;
  return [judgementsOf(seed)(what, told?.gPerH ?? null, truth)];
}

function zeroJudged(tray: Pick<WarmTray, 'seed' | 'profile' | 'profileId' | 'journal'>): Judgement {
  const { seed, journal } = tray;
  const creep = new Random(seed ^ 0x2e10).between(-CREEP_G, CREEP_G);
  const zero = scaleZeroOf(recordIn(tray, creeping(journal, creep)));
  const told = zero.ok ? zero.value.gPerDay : null;
  return judgementsOf(seed)('zero of the scale, g/d', told, creep);
}

/** The journal that a scale would have written whose zero creeps by so much a day. */
const creeping = (journal: readonly JournalEntry[], gPerDay: number): readonly JournalEntry[] =>
  journal.map((entry) =>
    entry.kind === 'reading'
      ? { ...entry, trayG: entry.trayG + (gPerDay * entry.uptimeMs) / DAY_MS }
      : entry,
  );
