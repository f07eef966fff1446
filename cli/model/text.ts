/** What `tray model` says to a person. Pure. */
import { formatQuantity, type QuantityKind, type UnitSystem } from '../../shared/units';
import type { Fact } from '../terminal/output';
import { lidText } from '../words/lid';
import type { FeltDay, FeltHour } from './felt-hours';
import type { Figure } from './figure';
import type { PlantGrowth } from './growth';
import type { HeatLoss } from './loss';
import type { MatHealth, MatPower } from './mat';
import type { PumpFlow } from './pump-flow';
import type { ScaleZero } from './scale-zero';
import { NEVER_TOLD, type TrayModel } from './tray';

/** Weaker than it was by this for sure: worth a look. */
const WEAKER_SHARE = 0.03;
/** Less of its heat left in the coldest hours than this share is little. */
const SPARE_SHARE = 0.1;
/** A zero that creeps is worth a look only where it is sure: after days, and so many times beyond what it may be off by. */
const CREEP_LEAST_DAYS = 2;
const CREEP_TIMES = 2;
/** A tube that gives less than this of what it was calibrated to is worn. */
const WORN_SHARE = -0.1;
const DAY_H = 24;

const percent = (share: number): string => `${Math.round(Math.abs(share) * 100)} %`;
const between = (low: string, high: string): string => `(${low} to ${high}, nine times of ten)`;
const plain = ({ value, low, high }: Figure, digits: number, unit: string): string =>
  `${value.toFixed(digits)} ${unit} ${between(low.toFixed(digits), `${high.toFixed(digits)} ${unit}`)}`;

type Range = (one: { readonly fromMs: number; readonly toMs: number }) => string;

/** Everything that is told, then what is not, with why. */
export function modelFacts(model: TrayModel, units: UnitSystem, range: Range): readonly Fact[] {
  const { mat, heat, hours, drying, growth, pump, scaleZero } = model;
  return [
    ...(mat.ok ? matFacts(mat.value, range) : []),
    ...(heat.ok ? heatFacts(heat.value, units) : []),
    ...(hours.ok ? hourFacts(hours.value, units) : []),
    ...(drying.ok ? drying.value : []).map(
      ({ lid, gPerH, days }): Fact => ({
        label: 'Drying',
        value: `${rate(gPerH, units)} with the lid ${lidText(lid)}`,
        note: `over ${days.toFixed(0)} ${days < 1.5 ? 'day' : 'days'}`,
      }),
    ),
    ...(growth.ok ? [growthFact(growth.value, units, range)] : []),
    ...(pump.ok ? [pumpFact(pump.value)] : []),
    ...(scaleZero.ok ? [zeroFact(scaleZero.value, units)] : []),
    ...notTold(model).map(({ why }, i): Fact => ({ label: i === 0 ? 'Not told' : '', value: why })),
  ];
}

/** What is not told of this journal, each reason once. */
export function notTold({ mat, heat, hours, drying, growth, pump, scaleZero }: TrayModel) {
  const figures = { mat, heat, hours, drying, growth, pump, scaleZero };
  const declined = Object.entries(figures).flatMap(([what, one]) =>
    one.ok ? [] : [{ what, why: one.why }],
  );
  return [...declined, ...NEVER_TOLD].filter(
    ({ why }, i, all) => all.findIndex((one) => one.why === why) === i,
  );
}

const wattsText = ({ watts, lowW, highW }: MatPower): string =>
  `${watts.toFixed(1)} W reach the tray ${between(lowW.toFixed(1), `${highW.toFixed(1)} W`)}`;

function matFacts(health: MatHealth, range: Range): readonly Fact[] {
  const { now, first, change, mostDutyShare, spareW, heldWhK } = health;
  const little = 1 - mostDutyShare < SPARE_SHARE;
  return [
    { label: 'Mat', value: wattsText(now), note: range(now) },
    ...(first === null ? [] : [{ label: 'At first', value: wattsText(first), note: range(first) }]),
    ...(change === null ? [] : [changeFact(change)]),
    {
      label: 'Coldest hours',
      value: little
        ? `holding the root zone took ${percent(mostDutyShare)} of its heat: a colder night is too much for it`
        : `holding the root zone took ${percent(mostDutyShare)} of its heat, with ${spareW.toFixed(0)} W to spare`,
      ...(little ? { tone: 'warn' as const } : {}),
    },
    {
      label: 'Heat held',
      value: `${plain(heldWhK, 2, 'Wh')} for each kelvin`,
      note: 'tray and mat, with the water in them',
    },
  ];
}

function changeFact({ share, high }: NonNullable<MatHealth['change']>): Fact {
  if (high < -WEAKER_SHARE) {
    return {
      label: 'Health',
      value: `${percent(share)} weaker than at first: look at its plug, its cable and its supply`,
      tone: 'warn',
    };
  }
  return { label: 'Health', value: 'as at first, as far as readings can tell' };
}

/** A figure of this kind in the units of the reader. */
const toldIn =
  (units: UnitSystem) =>
  (kind: QuantityKind, { value, low, high }: Figure): string => {
    const [one, from, to] = [value, low, high].map((each) => formatQuantity(kind, each, units));
    return `${one} ${between(from ?? '', to ?? '')}`;
  };

function heatFacts(
  { lid, lossWK, reachK, spareK, aroundC }: HeatLoss,
  units: UnitSystem,
): readonly Fact[] {
  const told = toldIn(units);
  return [
    {
      label: 'Spare',
      value: `the coldest hours could have been colder by ${told('temperature-difference', spareK)}`,
    },
    {
      label: 'Reach',
      value: `always on, the mat keeps the root zone warmer than what surrounds it by ${told('temperature-difference', reachK)}`,
    },
    {
      label: 'Loss',
      value: `${plain(lossWK, 2, 'W')} for each kelvin, with the lid ${lidText(lid)}`,
    },
    {
      label: 'Surroundings',
      value: `felt like ${told('temperature', aroundC)}, lamp and evaporation included`,
    },
  ];
}

/** The coldest and the warmest hour of those that were told. */
function hourFacts({ hours, coldest, warmest }: FeltDay, units: UnitSystem): readonly Fact[] {
  const clock = (hour: number): string => `${String(hour % DAY_H).padStart(2, '0')}:00`;
  const fact = (label: string, { hour, aroundC }: FeltHour): Fact => ({
    label,
    value: `from ${clock(hour)} to ${clock(hour + 1)}, felt like ${toldIn(units)('temperature', aroundC)}`,
    ...(hours.length < DAY_H ? { note: `of ${hours.length} hours of the day` } : {}),
  });
  return [fact('At the coldest', coldest), fact('At the warmest', warmest)];
}

/** Where drops could be all of it, what it is at the most. */
function growthFact(growth: PlantGrowth, units: UnitSystem, range: Range): Fact {
  const { value, low, high } = growth.gPerDay;
  const g = (one: number): string => formatQuantity('mass', one, units);
  const told = `${g(value)} a day ${between(g(low), g(high))}`;
  const most = `no more than ${g(high)} a day: drops that hang hide the rest`;
  const none = 'less than the drops that hang';
  return {
    label: 'Growth',
    value: low > 0 ? told : high > 0 ? most : none,
    note: range(growth),
  };
}

const rate = ({ value, low, high }: Figure, units: UnitSystem): string => {
  const g = (one: number): string => formatQuantity('mass', 24 * one, units);
  return `${g(value)} a day ${between(g(low), g(high))}`;
};

function pumpFact({ mlPerS, change, doses }: PumpFlow): Fact {
  const flow = plain(mlPerS, 2, 'ml/s');
  if (change === null) return { label: 'Pump', value: flow, note: `by ${doses} doses` };
  const isWorn = change.high < 0 && change.share < WORN_SHARE;
  const against =
    change.low <= 0 && change.high >= 0
      ? 'as calibrated'
      : `${percent(change.share)} ${change.share < 0 ? 'less' : 'more'} than calibrated`;
  return {
    label: 'Pump',
    value: `${flow}, ${against}${isWorn ? ': its tube is worn. Calibrate it, and have a new tube at hand' : ''}`,
    note: `by ${doses} doses`,
    ...(isWorn ? { tone: 'warn' as const } : {}),
  };
}

function zeroFact({ gPerDay, days }: ScaleZero, units: UnitSystem): Fact {
  const g = (one: number): string => formatQuantity('mass', one, units);
  const { value, low, high } = gPerDay;
  const seems = low > 0 || high < 0;
  // One tray in ten seems to creep by nothing but chance, and hands that look for what is not there lose trust.
  const creeps = days >= CREEP_LEAST_DAYS && Math.abs(value) > CREEP_TIMES * ((high - low) / 2);
  const range = `${g(value)} a day ${between(g(low), g(high))}`;
  const said = seems
    ? `its zero seems to creep by ${range}, which a few days more will tell`
    : `its zero stands, to ${g(Math.max(-low, high))} a day`;
  return {
    label: 'Scale',
    value: creeps
      ? `its zero creeps by ${range}: look for what touches the platform, and zero it with the tray off`
      : said,
    note: `${days.toFixed(0)} ${days < 1.5 ? 'day' : 'days'} under a closed lid`,
    ...(creeps ? { tone: 'warn' as const } : {}),
  };
}
