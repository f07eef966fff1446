/** What a spell out of the band meant for the crop: by thermal time for seed that is not up, by degree-hours for all. Pure. */
import type { TrialRow } from '../../shared/crops/library/crop';
import { normalShareIn, progressPerDay } from '../../shared/crops/library/emergence';
import { cropOrNull } from '../../shared/crops/library/library';
import { emergenceStage } from '../../shared/profile/first-feed';
import { publishedTrials } from '../../shared/profile/host/emergence';
import type { UnitSystem } from '../../shared/units';
import { K_PER_F } from '../../shared/units/kinds';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { type Claim, claim } from './finding';
import { notesOf, type Record } from './record';
import type { Side, Spell } from './root-zone';

/** Less of a day is not worth a word. */
const TOLD_DAYS = 0.05;
/** Fewer seedlings by less than so many of a hundred are no news. */
const TOLD_SHARE = 0.03;

export interface CropEffect {
  readonly claims: readonly Claim[];
  readonly emergenceDays: number | null;
  readonly unbearableH: number;
}

/** Seed that is not up yet, and its trials. */
interface Seed {
  readonly crop: string;
  readonly rows: readonly TrialRow[];
}

/** The crop's trials while its seed is not up; null after it, or where nobody tried. */
function seedOf(record: Record, spell: Spell): Seed | null {
  const profile = record.profileAt(spell.fromMs);
  const crop = profile === null ? null : cropOrNull(profile.crop);
  const trials = crop === null ? null : publishedTrials(crop);
  const stage = spell.worst.reading.stageIndex;
  if (profile === null || crop === null || trials === null) return null;
  if (stage > emergenceStage(profile.stages)) return null;
  const sown = notesOf(record, 'mark')
    .filter(({ entry, atMs }) => entry.mark === 'sown' && atMs <= spell.fromMs)
    .at(-1);
  return sown === undefined ? null : { crop: crop.name, rows: trials.rows };
}

export function effectOf(record: Record, spell: Spell): CropEffect {
  const { side, degreeHours, worst, points } = spell;
  const by = [worst.reading.note];
  const seed = seedOf(record, spell);
  const days = seed === null ? null : daysLost(seed, spell);
  const claims = [
    claim(({ units }) => degreeHoursText(degreeHours, side, units), by),
    ...(days !== null && days >= TOLD_DAYS
      ? [
          claim(
            `${seed?.crop} seed comes up about ${days.toFixed(1)} d later than without it (thermal time)`,
            by,
          ),
        ]
      : []),
    ...(seed === null || side === 'cold' ? [] : fewer(seed, spell)),
  ];
  const maxC = record.profileAt(worst.atMs)?.rootZoneMaxC ?? Number.POSITIVE_INFINITY;
  let unbearableH = 0;
  points.forEach((point, i) => {
    const next = points[i + 1];
    if (next !== undefined && point.celsius > maxC)
      unbearableH += (next.atMs - point.atMs) / HOUR_MS;
  });
  if (unbearableH > 0)
    claims.push(
      claim(
        ({ span, value }) =>
          `${span(unbearableH * HOUR_MS)} above the ${value('temperature', maxC)} that this crop bears`,
        by,
      ),
    );
  return { claims, emergenceDays: days, unbearableH };
}

/** `89 degree-hours below the band`: degrees of the units asked for, times hours. */
export function degreeHoursText(kelvinHours: number, side: Side, units: UnitSystem): string {
  const edge = side === 'cold' ? 'below' : 'above';
  const count = Math.round(units === 'us' ? kelvinHours / K_PER_F : kelvinHours);
  return `${count} degree-hour${count === 1 ? '' : 's'}${units === 'us' ? ' (°F)' : ''} ${edge} the band`;
}

/** Days by which emergence comes later: progress that the middle of the band would have made, less what was made. */
function daysLost({ rows }: Seed, { points, fromMs, toMs, before }: Spell): number {
  // A spell too cold or too hot brings nothing on.
  const progress = (celsius: number): number => progressPerDay(rows, celsius) ?? 0;
  let lost = 0;
  let usual = Number.NaN;
  const line = [
    ...(before === null
      ? []
      : [{ atMs: fromMs, celsius: before.celsius, reading: before.reading }]),
    ...points,
  ];
  line.forEach((point, i) => {
    const { band } = point.reading;
    const nextMs = line[i + 1]?.atMs ?? toMs;
    if (band === null) return;
    usual = progress((band.lowC + band.highC) / 2);
    const next = line[i + 1] ?? point;
    const made = (progress(point.celsius) + progress(next.celsius)) / 2;
    lost += (usual - made) * ((nextMs - point.atMs) / DAY_MS);
  });
  return usual > 0 ? lost / usual : 0;
}

function fewer({ crop, rows }: Seed, { worst }: Spell): readonly Claim[] {
  const { band } = worst.reading;
  if (band === null) return [];
  const inBand = normalShareIn(rows, (band.lowC + band.highC) / 2);
  const then = normalShareIn(rows, worst.celsius);
  if (inBand === null || then === null || inBand - then < TOLD_SHARE) return [];
  return [
    claim(
      ({ value }) =>
        `were it as warm as ${value('temperature', worst.celsius)} all the time, ${Math.round(then * 100)} % of ${crop} seed would come up well instead of ${Math.round(inBand * 100)} %`,
      [worst.reading.note],
    ),
  ];
}
