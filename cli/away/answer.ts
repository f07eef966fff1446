/** A forecast made into an answer: can the tray be left for so long, what ends that, and what buys most time. Pure but for the zone of time. */
import { PUMP_TRIM_LIMITS } from '../../firmware/limits';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { HOUR_MS } from '../../shared/units/time';
import type { Stand } from '../explain/stand';
import { CERTAINTY, type Forecast, surely } from '../forecast/forecast';
import { FORECAST_LIMITS } from '../forecast/limits';
import type { Ahead, End, EndKind, Place } from '../forecast/walk';
import { coldNight } from './cold';
import type {
  Away,
  Change,
  HandsLimit,
  HoldLimit,
  Limit,
  Moment,
  Obstacle,
  Range,
  Verdict,
} from './model';
import { nextDoseOf } from './next-dose';
import { RESERVOIR_UNKNOWN } from './obstacles';
import { pumpShareOf } from './pump';
import { dailyTasks, HANDS_FOR, tasksOf } from './tasks';

const DAY_H = 24;
/** Less time gained is not worth a change, h. */
const GAIN_LEAST_H = 6;
/** A reservoir so nearly full is full. */
const FULL_SHARE = 0.95;

export interface Asked {
  readonly askedH: number;
  /** Now, on the line of time of the record, which may end before. */
  readonly nowMs: number;
  /** The same where the tray is. */
  readonly nowUnixMs: number;
  readonly units: UnitSystem;
}

const SAYS: Readonly<Record<EndKind, string>> = {
  reservoir: 'the reservoir is empty',
  'too-dry': 'the wool is too dry for this stage',
  'day-cap': 'the tray wants more than the stage may give in a day',
  'stage-cap': 'the stage has given all that it may',
};

export function answerOf(
  stand: Stand,
  forecast: Forecast,
  obstaclesSoFar: readonly Obstacle[],
  asked: Asked,
): Away {
  const { record } = stand;
  const { place, watered, gPerDay } = forecast;
  const clock = clockOf(stand, asked);
  const sinceMs = asked.nowMs - record.toMs;
  const obstacles =
    place.reservoirMl === null ? [...obstaclesSoFar, RESERVOIR_UNKNOWN] : obstaclesSoFar;
  const hands = tasksOf(record, record.toMs, place, watered.likely.stages, asked.units).map(
    ({ kind, says, inMs }): HandsLimit => ({ by: 'hands', kind, says, ...clock(inMs) }),
  );
  const cold = coldLimits(stand, asked, clock);
  const holds = [...holdLimits(forecast.sure, forecast.likely, clock), ...cold];
  const limits = inOrder([...holds, ...hands]);
  const holdsH = holdsOf(limits);
  return {
    verdict: verdictOf(asked.askedH, holdsH, limits, obstacles),
    askedH: asked.askedH,
    holdsH,
    holdsLonger: holds.length === 0,
    certainty: CERTAINTY,
    limits,
    obstacles,
    change: obstacles.length > 0 ? null : bestChange(forecast, limits, clock, asked),
    daily: dailyTasks(place),
    remarks: remarksOf(stand, forecast, asked),
    driesMlPerDay: gPerDay,
    dosesMl: dosesWithin(forecast, sinceMs, asked.askedH),
    reservoirMl: place.reservoirMl,
    nextDose: nextDoseOf(forecast, obstacles, sinceMs, clock),
  };
}

const HORIZON_H = FORECAST_LIMITS.horizonH;

/** From ms after the end of the record to hours from now and a date. */
type Clock = (inMs: number) => Moment;

function clockOf({ record }: Stand, { nowMs, nowUnixMs }: Asked): Clock {
  return (inMs) => {
    const aheadMs = Math.max(0, record.toMs + inMs - nowMs);
    return { inH: aheadMs / HOUR_MS, unixMs: Math.round(nowUnixMs + aheadMs) };
  };
}

/** All that is given in so many hours from `fromMs` after the end of the record on, ml. */
function dosesWithin(
  { watered: { slow, likely, fast } }: Forecast,
  fromMs: number,
  h: number,
): Range {
  const toMs = fromMs + h * HOUR_MS;
  const givenMl = ({ doses }: Ahead): number =>
    doses.reduce((sum, { inMs, ml }) => (inMs > fromMs && inMs <= toMs ? sum + ml : sum), 0);
  // What dries faster may come to a cap, or to its next stage's doses, and take less in the time.
  const all = [slow, likely, fast].map(givenMl);
  return { low: Math.min(...all), likely: givenMl(likely), high: Math.max(...all) };
}

const inOrder = (limits: readonly Limit[]): readonly Limit[] =>
  [...limits].sort((a, b) => a.inH - b.inH);

function holdLimits(sure: Ahead, likely: Ahead, clock: Clock): readonly HoldLimit[] {
  return sure.ends.map(({ kind, inMs }: End): HoldLimit => {
    const later = likely.ends.find((end) => end.kind === kind);
    return {
      ...{ by: 'tray', kind, says: SAYS[kind], ...clock(inMs) },
      likelyInH: later === undefined ? null : clock(later.inMs).inH,
    };
  });
}

/** The next night may be as cold as one lately: then the tray is not held. */
function coldLimits(stand: Stand, { nowMs, units }: Asked, clock: Clock): readonly HoldLimit[] {
  const night = coldNight(stand, stand.record.toMs);
  if (night === null || !night.isTooCold) return [];
  const dayMs = DAY_H * HOUR_MS;
  const againMs = night.atMs + Math.ceil(Math.max(1, nowMs - night.atMs) / dayMs) * dayMs;
  const when = clock(againMs - stand.record.toMs);
  const belowText = formatQuantity('temperature-difference', night.belowK, units);
  return [
    {
      ...{ by: 'tray', kind: 'cold', ...when, likelyInH: null },
      says: `a night like the last ones is too cold for the mat: ${belowText} below the band with the mat on all the time`,
    },
  ];
}

function verdictOf(
  askedH: number,
  holdsH: number,
  limits: readonly Limit[],
  obstacles: readonly Obstacle[],
): Verdict {
  if (obstacles.length > 0) return 'not-now';
  if (holdsH < askedH) return 'no';
  return limits.some(({ by, inH }) => by === 'hands' && inH < askedH) ? 'with-help' : 'yes';
}

/** How long the tray is held by itself, and how long it is to the first limit of any kind, h. */
const holdsOf = (limits: readonly Limit[]): number =>
  Math.min(HORIZON_H, ...limits.flatMap(({ by, inH }) => (by === 'tray' ? [inH] : [])));
const untilOf = (limits: readonly Limit[]): number =>
  Math.min(HORIZON_H, ...limits.filter(isAhead).map(({ inH }) => inH));
/** A task that is due now is done before anybody leaves. */
const isAhead = ({ by, inH }: Limit): boolean => by === 'tray' || inH > 0;

/**
 * Of all that one could do, what puts the first limit off the most, or, where the tray itself is not held for long
 * enough, that one; null where nothing is worth it.
 */
function bestChange(forecast: Forecast, limits: readonly Limit[], clock: Clock, asked: Asked) {
  const nowH = gainsOf(limits);
  const by: 'holdsH' | 'untilH' = nowH.holdsH < asked.askedH ? 'holdsH' : 'untilH';
  return changesOf(forecast, limits, clock, asked)
    .filter((change) => change[by] >= nowH[by] + GAIN_LEAST_H)
    .reduce<Change | null>((most, one) => (most === null || one[by] > most[by] ? one : most), null);
}
type Gains = Pick<Change, 'holdsH' | 'untilH' | 'limitThen'>;

/** What there is with other limits, in order of time. */
const gainsOf = (limits: readonly Limit[]): Gains => ({
  holdsH: holdsOf(limits),
  untilH: untilOf(limits),
  limitThen: limits.find(isAhead) ?? null,
});

function changesOf(
  { place, uptake }: Forecast,
  limits: readonly Limit[],
  clock: Clock,
  { units }: Asked,
): readonly Change[] {
  const kept = limits.filter(({ by, kind }) => by === 'hands' || kind === 'cold');
  const otherwise = (changed: Place): Gains => {
    const ahead = surely(changed, uptake);
    return gainsOf(inOrder([...kept, ...holdLimits(ahead, ahead, clock)]));
  };
  const { reservoirMl } = place.profile;
  const changes: Change[] = [];
  if ((place.reservoirMl ?? reservoirMl) < FULL_SHARE * reservoirMl) {
    const full = formatQuantity('volume', reservoirMl, units);
    const says = `fill the reservoir to ${full}`;
    changes.push({ kind: 'fill', says, ...otherwise({ ...place, reservoirMl, usedMl: 0 }) });
  }
  if (limits.some(({ kind }) => kind === 'too-dry')) {
    const says = 'water the tray by hand until it drains, then `trayward mark soaked`';
    changes.push({ kind: 'soak', says, ...otherwise({ ...place, dryBackShare: 0 }) });
  }
  const first = limits.find(isAhead);
  if (first?.by === 'hands') {
    const says = `be there when ${HANDS_FOR[first.kind]}, or have somebody do it`;
    const others = limits.filter((one) => one !== first);
    changes.push({ kind: first.kind, says, ...gainsOf(others) });
  }
  return changes;
}

/** What is no limit and ought to be known. */
function remarksOf(stand: Stand, { uptake, place }: Forecast, { units }: Asked): readonly string[] {
  const night = coldNight(stand, stand.record.toMs);
  const pumpShare = pumpShareOf(stand.record);
  return [
    ...(uptake.doubtLn > 0
      ? [
          'Somebody was at the tray lately, or a stage began that wants the lid elsewhere: the weight tells where it is after three hours. Ask again then, or say it: `trayward mark lid propped`.',
        ]
      : []),
    ...(night === null || night.isTooCold
      ? []
      : [
          `In one of the last nights the mat was on all the time, and the root zone ${formatQuantity('temperature-difference', night.belowK, units)} below its band.`,
        ]),
    ...(Math.abs(pumpShare - 1) >= PUMP_TRIM_LIMITS.offShare
      ? [
          `The last doses brought ${Math.round(pumpShare * 100)} % of what was planned: a worn tube gets worse. Calibrate the pump before you leave.`,
        ]
      : []),
    ...(place.stage.staying ? ['The stage stays until you say `stage next`.'] : []),
  ];
}
