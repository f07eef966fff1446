/** The answer as a grower reads it: the verdict, what ends it in order of time, what buys most, and by what it is told. */
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { ML_PER_FL_OZ, ML_PER_GAL } from '../../shared/units/kinds';
import { type Fact, facts, type Style, wrap } from '../terminal/output';
import { capitalised } from '../words/capitalised';
import type { Away, Change, Limit, Obstacle } from './model';
import { dayText, whenText } from './when';

const HOUR_S = 3_600;
const DAY_H = 24;
/** Of what waits, so much is told; `--json` has it all. */
const LIMITS_MOST = 5;
const STEPS_MOST = 3;

export interface AwayTextOptions {
  readonly style: Style;
  readonly units: UnitSystem;
  /** Unix ms; null where no clock was ever set. */
  readonly nowUnixMs: number | null;
  /** By what it is told: `this controller, just now`. */
  readonly by: string;
}

export function awayText(away: Away, options: AwayTextOptions): string {
  const { style } = options;
  const head = wrap(headText(away), style.width);
  const tone = { yes: style.good, 'with-help': style.warn, no: style.bad, 'not-now': style.bad };
  return `${tone[away.verdict](head)}\n${facts(factsOf(away, options), style)}`;
}

/** A span in days and hours: a forecast knows no minutes. */
export function spanText(hours: number): string {
  const whole = Math.floor(hours);
  if (whole < 1) return 'less than an hour';
  return formatQuantity('duration', whole * HOUR_S, 'metric');
}

const percent = (share: number): string => `${Math.round(share * 100)} %`;

function headText(away: Away): string {
  const { verdict, askedH, holdsH, holdsLonger, certainty } = away;
  const asked = spanText(askedH);
  const holds = `${holdsLonger ? `more than ${spanText(holdsH)}` : spanText(holdsH)}, with ${percent(certainty)} certainty`;
  switch (verdict) {
    case 'yes':
      return `Yes, ${asked}: by itself the tray is held for ${holds}.`;
    case 'with-help':
      return `${asked} with somebody's help: by itself the tray is held for ${holds}, and hands are wanted before.`;
    case 'no':
      return `Not for ${asked}: by itself the tray is held for ${holds}.`;
    case 'not-now':
      return 'Not now: something is to be put right first.';
  }
}

function factsOf(away: Away, options: AwayTextOptions): readonly Fact[] {
  const { units } = options;
  const { limits, change, daily, remarks, obstacles, mlPerDay, reservoirMl, nextDose } = away;
  const about = (ml: number): string => aboutText(ml, units);
  const left =
    reservoirMl === null ? 'an unknown volume' : formatQuantity('volume', reservoirMl, units);
  return [
    ...obstacles.map((one, i) => obstacleFact(one, i)),
    ...limitFacts(limits, options),
    ...(change === null ? [] : [{ label: 'Buys most', value: changeText(change) }]),
    ...daily.map((text) => ({ label: 'Every day', value: text })),
    {
      label: 'Takes',
      value: `${about(mlPerDay.likely)} a day`,
      note: `${rangeText(mlPerDay, about)}${left} in the reservoir`,
    },
    {
      label: 'Next dose',
      value:
        nextDose === null
          ? 'none before the first limit'
          : `${dueText(nextDose, options)}, ${about(nextDose.ml)}`,
    },
    ...remarks.map((text, i) => ({ label: i === 0 ? 'Mind' : '', value: text })),
    {
      label: 'Told by',
      value: `${options.by}; as if nobody came, and the lid stayed where it is`,
    },
  ];
}
const HORIZON_H = 30 * DAY_H;

/** In nine of ten cases; nothing where even the most is next to nothing. */
const rangeText = ({ low, high }: Away['mlPerDay'], about: (ml: number) => string): string =>
  high < LITTLE_ML ? '' : `${about(low)} to ${about(high)}; `;

/** A volume in no more digits than a forecast knows. */
export function aboutText(ml: number, units: UnitSystem): string {
  if (units === 'us') {
    return ml < ML_PER_GAL / 2
      ? `${(ml / ML_PER_FL_OZ).toFixed(ml < 10 * ML_PER_FL_OZ ? 1 : 0)} fl oz`
      : `${(ml / ML_PER_GAL).toFixed(1)} gal`;
  }
  if (ml < LITTLE_ML) return `less than ${LITTLE_ML} ml`;
  const step = ml < 100 ? 5 : 10;
  return ml < 1000 ? `${Math.round(ml / step) * step} ml` : `${(ml / 1000).toFixed(1)} l`;
}
const LITTLE_ML = 5;

function changeText({ says, untilH, holdsH, kind }: Change): string {
  const span = (hours: number): string =>
    `${hours >= HORIZON_H ? 'more than ' : ''}${spanText(hours)}`;
  return kind === 'fill' || kind === 'soak'
    ? `${says}: ${span(holdsH)} by itself`
    : `${says}: ${span(untilH)} to the next limit`;
}

function obstacleFact({ says, next }: Obstacle, i: number): Fact {
  const steps = next.slice(0, STEPS_MOST).map((step) => `- ${step}`);
  return {
    label: i === 0 ? 'First' : '',
    value: [`${says}.`, ...steps].join('\n'),
    tone: 'bad',
  };
}

function limitFacts(limits: readonly Limit[], options: AwayTextOptions): readonly Fact[] {
  const shown = limits.slice(0, LIMITS_MOST);
  const more = limits.length - shown.length;
  if (shown.length === 0) {
    return [{ label: 'Limits', value: `none within ${spanText(HORIZON_H)}` }];
  }
  const told = shown.map((limit, i): Fact => {
    const value = `${dueText(limit, options)}: ${limit.says}`;
    const likely =
      limit.by === 'tray' && limit.likelyInH !== null ? likelyText(limit.likelyInH, limit.inH) : '';
    return { label: i === 0 ? 'First limit' : 'Then', value: capitalised(value), note: likely };
  });
  return more > 0 ? [...told, { label: '', value: `and ${more} more, later` }] : told;
}

/** Only where it differs enough to matter. */
function likelyText(likelyInH: number, inH: number): string {
  return likelyInH - inH >= DAY_H / 2 ? `as likely as not ${spanText(likelyInH)} from now` : '';
}

/** When a limit comes or a dose: by hour where the tray decides, by day where hands do. */
export function dueText(
  due: Pick<Limit, 'inH' | 'unixMs'> & { readonly by?: Limit['by'] },
  { nowUnixMs }: Pick<AwayTextOptions, 'nowUnixMs'>,
): string {
  const { inH, unixMs, by } = due;
  if (inH === 0) return 'now';
  if (unixMs === null || nowUnixMs === null) return `in ${spanText(inH)}`;
  return by === 'hands' ? dayText(unixMs, nowUnixMs) : whenText(unixMs, nowUnixMs);
}
