/** The answer as a grower reads it: the verdict, what ends it in order of time, what buys most, and by what it is told. */
import type { UnitSystem } from '../../shared/units';
import { HOUR_MS } from '../../shared/units/time';
import { FORECAST_LIMITS } from '../forecast/limits';
import { type Fact, facts, type Style, wrap } from '../terminal/output';
import { capitalised } from '../words/capitalised';
import { aboutText } from './about';
import { doseFact, dueText, spanText, untilText } from './due';
import type { Away, Change, Limit, Obstacle, Range } from './model';
import { verdictText } from './verdict';
import { whenText } from './when';

const DAY_H = 24;
/** Of what waits, so much is told; `--json` has it all. */
const LIMITS_MOST = 5;
const STEPS_MOST = 3;

export interface AwayTextOptions {
  readonly style: Style;
  readonly units: UnitSystem;
  /** Unix ms where the tray is. */
  readonly nowUnixMs: number;
  /** By what it is told: `this controller, just now`. */
  readonly by: string;
}

export function awayText(away: Away, options: AwayTextOptions): string {
  const { style } = options;
  const head = wrap(verdictText(away, options), style.width);
  const tone = { yes: style.good, 'with-help': style.warn, no: style.bad, 'not-now': style.bad };
  return `${tone[away.verdict](head)}\n${facts(factsOf(away, options), style)}`;
}

function factsOf(away: Away, options: AwayTextOptions): readonly Fact[] {
  const { units } = options;
  const { limits, change, daily, remarks, obstacles, driesMlPerDay, nextDose } = away;
  const about = (ml: number): string => aboutText(ml, units);
  return [
    ...obstacles.map((one, i) => obstacleFact(one, i)),
    ...limitFacts(limits, options),
    ...(change === null ? [] : [{ label: 'Buys most', value: changeText(change, options) }]),
    ...daily.map((text) => ({ label: 'Every day', value: text })),
    {
      label: 'Dries',
      value: `${about(driesMlPerDay.likely)} a day`,
      note: rangeText(driesMlPerDay, about),
    },
    takesFact(away, about),
    doseFact(nextDose, options),
    ...remarks.map((text, i) => ({ label: i === 0 ? 'Mind' : '', value: text })),
    {
      label: 'Told by',
      value: `${options.by}; as if nobody came, and the lid stayed where it is`,
    },
  ];
}

type About = (ml: number) => string;

/** In nine of ten cases; nothing where both are told alike. */
function rangeText({ low, high }: Range, about: About): string {
  const [from, to] = [low, high].map((ml) => (ml === 0 ? 'none' : about(ml)));
  return from === to ? '' : `${from} to ${to}`;
}

/** What the reservoir gives within the time asked: doses, however little the tray dries. */
function takesFact({ dosesMl, askedH, reservoirMl }: Away, about: About): Fact {
  const asked = spanText(askedH);
  const ml = dosesMl.likely;
  const perDay = askedH > DAY_H ? `${about((ml * DAY_H) / askedH)} a day, ` : '';
  const left = reservoirMl === null ? 'an unknown volume' : about(reservoirMl);
  const notes = [rangeText(dosesMl, about), `${left} in the reservoir`];
  return {
    label: 'Takes',
    value: ml === 0 ? `no dose in ${asked}` : `${perDay}${about(ml)} in ${asked}`,
    note: notes.filter((note) => note !== '').join('; '),
  };
}

function changeText(change: Change, options: AwayTextOptions): string {
  const { says, holdsH, kind, limitThen } = change;
  if (kind === 'fill' || kind === 'soak') {
    return `${says}: by itself the tray then is held ${untilText(holdsH, options)}`;
  }
  return limitThen === null
    ? `${says}: then there is no limit within ${spanText(FORECAST_LIMITS.horizonH)}`
    : `${says}: the next limit then is ${dueText(limitThen, options)}: ${limitThen.says}`;
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
    return [{ label: 'Limits', value: `none within ${spanText(FORECAST_LIMITS.horizonH)}` }];
  }
  const told = shown.map((limit, i): Fact => {
    const value = `${dueText(limit, options)}: ${limit.says}`;
    const likely =
      limit.by === 'tray' && limit.likelyInH !== null
        ? likelyText(limit.likelyInH, limit.inH, options)
        : '';
    return { label: i === 0 ? 'First limit' : 'Then', value: capitalised(value), note: likely };
  });
  return more > 0 ? [...told, { label: '', value: `and ${more} more, later` }] : told;
}

/** Only where it differs enough to matter. */
function likelyText(likelyInH: number, inH: number, { nowUnixMs }: AwayTextOptions): string {
  if (likelyInH - inH < DAY_H / 2) return '';
  return `as likely as not ${whenText(nowUnixMs + likelyInH * HOUR_MS, nowUnixMs)}`;
}
