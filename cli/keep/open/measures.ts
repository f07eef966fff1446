/** What open doors tell of a tray: a row for each measure, with its unit, range, and how to read it off a status. Pure. */
import { PROBE_NAMES, PROBES, type ProbeName } from '../../../shared/board/probes';
import { OUTPUT } from '../../../shared/board/words';
import type { Status } from '../../../shared/link/status';
import { PROFILE_LIMITS } from '../../../shared/profile/limits';
import { MINUTE_MS } from '../../../shared/units/time';
import { capitalised } from '../../words/capitalised';
import { PROBE_WORDS } from '../../words/probe';
import { standingAlarms } from './alarms';

/** One look at a tray that was heard. */
export interface Reading {
  readonly status: Status;
  /** This computer's time less the tray's, ms: a bench has a time of its own. */
  readonly apartMs: number;
  /** When the next dose is expected, Unix ms of this computer; null where the journal tells too little. */
  readonly nextDoseMs: number | null;
}

export type Value = number | boolean | string | null;
export type Kind = 'number' | 'count' | 'boolean' | 'text' | 'time';

/** What a number is told in: to people who watch a plant, and in the base units of Prometheus. */
interface Unit {
  readonly engUnit: string;
  readonly base: string;
  /** How much of the base unit one is. */
  readonly inBase: number;
}

/**
 * Base units as Prometheus names them (prometheus.io/docs/practices/naming: celsius, grams "to avoid issues with the
 * kilo prefix", ratio, seconds); litre and siemens by the same rule, which its list has not.
 */
const UNITS = {
  celsius: { engUnit: '°C', base: 'celsius', inBase: 1 },
  grams: { engUnit: 'g', base: 'grams', inBase: 1 },
  gramsPerHour: { engUnit: 'g/h', base: 'grams_per_second', inBase: 1 / 3600 },
  percent: { engUnit: '%', base: 'ratio', inBase: 0.01 },
  millilitres: { engUnit: 'ml', base: 'liters', inBase: 0.001 },
  milliSiemens: { engUnit: 'mS/cm', base: 'siemens_per_meter', inBase: 0.1 },
} as const satisfies Record<string, Unit>;

export interface Measure {
  /** As Sparkplug has it: its folder, and its name there. */
  readonly name: string;
  readonly kind: Kind;
  readonly says: string;
  readonly unit: Unit | null;
  /** What it can be at all, in its unit. */
  readonly range: readonly [low: number, high: number] | null;
  /** What changes by less is no news, in its unit (ms for a time). */
  readonly step: number;
  /** Its name for Prometheus, without unit; null where labels tell it. */
  readonly metric: string | null;
  readonly read: (reading: Reading) => Value;
}

const OF_NUMBER = { kind: 'number', metric: null } as const;
const PLAIN = { unit: null, range: null, step: 0 } as const;

/** What the curve of the probe was held against (`shared/physics/ntc.ts`). */
const CELSIUS = { ...OF_NUMBER, unit: UNITS.celsius, range: [0, 85], step: 0.1 } as const;
/** The largest cell of `hardware/BUILD.md`. A scale trembles by a gram. */
const GRAMS = { ...OF_NUMBER, unit: UNITS.grams, range: [0, 20_000], step: 2 } as const;
const PERCENT = { ...OF_NUMBER, unit: UNITS.percent, range: [0, 100], step: 0.5 } as const;
const TANK = [0, PROFILE_LIMITS.reservoirMaxMl] as const;
const MILLILITRES = { ...OF_NUMBER, unit: UNITS.millilitres, range: null, step: 1 } as const;
const BOOLEAN = { ...PLAIN, kind: 'boolean' } as const;
const TEXT = { ...PLAIN, kind: 'text', metric: null } as const;
const COUNT = { ...PLAIN, kind: 'count', metric: null, step: 1 } as const;
const TIME = { ...PLAIN, kind: 'time', step: MINUTE_MS } as const;

const percent = (share: number | null): number | null => (share === null ? null : share * 100);

/** What a probe tells of its place. */
function temperatureOf(name: ProbeName): Measure {
  const words = PROBE_WORDS[name].place.split(' ');
  return {
    ...{ ...CELSIUS, name: `${words.map(capitalised).join(' ')}/Temperature` },
    metric: words.join('_'),
    says: `Temperature of the ${words.join(' ')}.`,
    read: ({ status }) => status.heat[PROBES[name].celsius],
  };
}

/** In the order in which a birth has them. */
export const MEASURES: readonly Measure[] = [
  temperatureOf('rootZone'),
  {
    ...{ ...CELSIUS, name: 'Root Zone/Band Low', metric: 'band_low' },
    says: 'The mat goes on below this.',
    read: ({ status }) => status.heat.lowC,
  },
  {
    ...{ ...CELSIUS, name: 'Root Zone/Band High', metric: 'band_high' },
    says: 'The mat goes off above this.',
    read: ({ status }) => status.heat.highC,
  },
  ...PROBE_NAMES.filter((name) => name !== 'rootZone').map(temperatureOf),
  {
    ...{ ...BOOLEAN, name: 'Mat/On', metric: 'mat_on' },
    says: 'Whether the mat is on.',
    read: ({ status }) => status.heat.on,
  },
  {
    ...{ ...PERCENT, name: 'Mat/Duty', metric: 'mat_duty' },
    says: 'Share of the time that the mat is on.',
    read: ({ status }) => percent(status.heat.dutyShare),
  },
  {
    ...{ ...TEXT, name: 'Mat/Held By' },
    says: 'What holds the mat off: an alarm or another reason, by its word.',
    read: ({ status }) => status.heat.heldBy,
  },
  {
    ...{ ...GRAMS, name: 'Water/Weight', metric: 'weight' },
    says: 'Weight of the tray.',
    read: ({ status }) => status.water.trayG,
  },
  {
    ...{ ...PERCENT, name: 'Water/Dry-back', metric: 'dry_back' },
    says: 'Share of the water at container capacity that is gone, the growth of the plants left out.',
    read: ({ status }) => percent(status.water.dryBackShare),
  },
  {
    ...{ ...OF_NUMBER, unit: UNITS.gramsPerHour, range: null, step: 2 },
    ...{ name: 'Water/Drying', metric: 'drying' },
    says: 'Loss of weight over the last 25 minutes.',
    read: ({ status }) => status.water.dryingGPerH,
  },
  {
    ...{ ...BOOLEAN, name: 'Water/Pump On', metric: 'pump_on' },
    says: 'Whether the pump runs.',
    read: ({ status }) => (status.outputs & OUTPUT.pumpOn) !== 0,
  },
  {
    ...{ ...TEXT, name: 'Water/Phase' },
    says: 'What watering does now: idle, weighing, dosing, soaking-in, proving or service.',
    read: ({ status }) => status.water.phase,
  },
  {
    ...{ ...TEXT, name: 'Water/Held By' },
    says: 'What holds water off: an alarm or another reason, by its word.',
    read: ({ status }) => status.water.heldBy,
  },
  {
    ...{ ...TIME, name: 'Water/Next Dose', metric: 'next_dose' },
    says: 'When the next dose is expected.',
    read: ({ nextDoseMs }) => nextDoseMs,
  },
  {
    ...{ ...MILLILITRES, name: 'Water/Dosed Today', metric: 'dosed_in_day' },
    says: 'Given in the last 24 hours that the tray ran.',
    read: ({ status }) => status.water.dayMl,
  },
  {
    ...{ ...MILLILITRES, name: 'Water/Day Cap', metric: 'day_cap' },
    says: 'The most that is given in a day.',
    read: ({ status }) => status.water.dayCapMl,
  },
  {
    ...{ ...MILLILITRES, name: 'Water/Dosed In Stage', metric: 'dosed_in_stage' },
    says: 'Given since the stage began.',
    read: ({ status }) => status.water.stageMl,
  },
  {
    ...{ ...MILLILITRES, range: TANK, name: 'Water/Reservoir Left', metric: 'reservoir_left' },
    says: 'What is left in the reservoir.',
    read: ({ status }) => status.water.reservoirLeftMl,
  },
  {
    ...{ ...OF_NUMBER, unit: UNITS.milliSiemens, range: [0, PROFILE_LIMITS.feedEcMax], step: 0.01 },
    ...{ name: 'Water/Reservoir EC', metric: 'reservoir_conductivity' },
    says: 'Conductivity of the feed in the reservoir at 25 °C, as the grower told.',
    read: ({ status }) => status.water.reservoirEc,
  },
  {
    ...{ ...TEXT, name: 'Stage/Name' },
    says: 'Stage of the crop; none until it is marked sown.',
    read: ({ status }) => status.stage?.name ?? null,
  },
  {
    ...{ ...TEXT, name: 'Stage/Kind' },
    says: 'What the stage does with water.',
    read: ({ status }) => status.stage?.kind ?? null,
  },
  {
    ...{ ...TIME, name: 'Stage/Ends', metric: 'stage_end' },
    says: 'When the stage ends by itself; none where a mark ends it.',
    read: stageEndMs,
  },
  {
    ...{ ...TEXT, name: 'Stage/Crop' },
    says: 'Crop of the profile.',
    read: ({ status }) => status.profile?.crop ?? null,
  },
  {
    ...{ ...COUNT, name: 'Alarms/Standing' },
    says: 'How many alarms stand.',
    read: ({ status }) => standingAlarms(status).length,
  },
  {
    ...{ ...COUNT, name: 'Alarms/High' },
    says: 'How many of them are urgent.',
    read: ({ status }) =>
      standingAlarms(status).filter(({ priority }) => priority === 'high').length,
  },
  {
    ...{ ...COUNT, name: 'Alarms/Unseen' },
    says: 'How many of them nobody has seen.',
    read: ({ status }) => standingAlarms(status).filter(({ seen }) => !seen).length,
  },
  {
    ...{ ...TEXT, name: 'Alarms/Names' },
    says: 'Their names, the most urgent first, with commas between.',
    read: ({ status }) =>
      standingAlarms(status)
        .map(({ alarm }) => alarm)
        .join(','),
  },
];

function stageEndMs({ status, apartMs }: Reading): number | null {
  const { stage, unixMs } = status;
  if (stage === null || stage.leftS === null || unixMs === null) return null;
  return unixMs + stage.leftS * 1000 + apartMs;
}

/** Whether `now` is news to somebody who knows `before`. */
export function isNews({ step }: Measure, before: Value, now: Value): boolean {
  if (typeof before === 'number' && typeof now === 'number') return Math.abs(now - before) >= step;
  return before !== now;
}
