/** How each stage held its band once it had had time to get there, and when it did not. Pure. */
import { IN_BAND_K, type Rehearsal, type StageRun } from '../../firmware/bench/season/rehearsal';

/** A tray that was sown cold, or comes from a cooler stage, is warming up so long: that says nothing of the mat. */
const WARM_UP_DAYS = 0.5;
const HOURS = 24;
/** Hour of the bench's day at which it sows. */
export const SOWN_HOUR = 8.8;
/** Wool follows a room some hours late: what its night does is seen from here to there. */
const NIGHT = { fromHour: 21, toHour: 9 };
/** A rehearsal is looked at each hour: days are true to half of that. */
const HALF_LOOK_DAYS = 0.5 / HOURS;

/** Time on one side of the band. */
export interface Missed {
  readonly hoursADay: number;
  /** How much of it was at night, share; null where the hour is not known. */
  readonly nightShare: number | null;
}

export interface Held {
  readonly inBandShare: number;
  readonly coldestC: number;
  readonly warmestC: number;
  readonly below: Missed;
  readonly above: Missed;
}

interface HourOfStage {
  readonly day: number;
  readonly rootZoneC: number;
  readonly lowC: number;
  readonly highC: number;
}

/** The looks at a stage from when it has warmed up on; none where it was over by then, or nobody looked. */
function hoursOf({ course }: Rehearsal, { fromDay, forDays }: StageRun): readonly HourOfStage[] {
  const from = fromDay + WARM_UP_DAYS - HALF_LOOK_DAYS;
  const to = fromDay + forDays + HALF_LOOK_DAYS;
  return course.days.flatMap((day, i) => {
    const [rootZoneC, lowC, highC] = [course.rootZoneC[i], course.bandLowC[i], course.bandHighC[i]];
    const known = rootZoneC !== undefined && lowC !== undefined && highC !== undefined;
    // Nothing is held of a tray that stands elsewhere.
    const onScale = (course.dryBackShare[i] ?? null) !== null;
    return day > from && day < to && known && onScale ? [{ day, rootZoneC, lowC, highC }] : [];
  });
}

function isAtNight(day: number): boolean {
  const hour = (SOWN_HOUR + day * HOURS) % HOURS;
  return hour >= NIGHT.fromHour || hour < NIGHT.toHour;
}

function missed(hours: readonly HourOfStage[], is: (hour: HourOfStage) => boolean): Missed {
  const found = hours.filter(is);
  return {
    hoursADay: (HOURS * found.length) / hours.length,
    nightShare:
      found.length === 0 ? null : found.filter(({ day }) => isAtNight(day)).length / found.length,
  };
}

/** Of a stage that was too short to tell, or of which there is no course: all of it, warming up and all. */
function heldAtAll({ inBandShare, coldestC, warmestC }: StageRun): Held {
  const unknown = { hoursADay: 0, nightShare: null };
  return { inBandShare, coldestC, warmestC, below: unknown, above: unknown };
}

/** How one stage of a rehearsal held its band, without the half day in which it warms up. */
export function heldOf(rehearsal: Rehearsal, run: StageRun): Held {
  const hours = hoursOf(rehearsal, run);
  if (hours.length === 0) return heldAtAll(run);
  const roots = hours.map(({ rootZoneC }) => rootZoneC);
  const below = missed(hours, ({ rootZoneC, lowC }) => rootZoneC < lowC - IN_BAND_K);
  const above = missed(hours, ({ rootZoneC, highC }) => rootZoneC > highC + IN_BAND_K);
  return {
    inBandShare: 1 - (below.hoursADay + above.hoursADay) / HOURS,
    coldestC: Math.min(...roots),
    warmestC: Math.max(...roots),
    below,
    above,
  };
}

/** The longest of them: what a grower is told of is the worst that was seen. */
export const mostMissed = (all: readonly Missed[]): Missed =>
  all.reduce((worst, one) => (one.hoursADay > worst.hoursADay ? one : worst), {
    hoursADay: 0,
    nightShare: null,
  });

/** Missed at this much of it by night, or by day, it is so mostly. */
const MOSTLY = 0.75;
/** A band missed so long is missed all day. */
const ALL_DAY_H = 22;

/** `for 8 h a day, mostly at night`. Empty where it is not known. */
export function missedText({ hoursADay, nightShare }: Missed): string {
  if (hoursADay === 0) return '';
  if (hoursADay >= ALL_DAY_H) return ' day and night';
  const long = hoursADay < 1 ? 'less than an hour' : `about ${hoursADay.toFixed(0)} h`;
  const when =
    nightShare === null || (nightShare < MOSTLY && nightShare > 1 - MOSTLY)
      ? ''
      : `, mostly ${nightShare >= MOSTLY ? 'at night' : 'by day'}`;
  return ` for ${long} a day${when}`;
}
