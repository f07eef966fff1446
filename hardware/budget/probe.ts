/**
 * How far a probe's reading can be off, K. Each line is carried through the divider and the curve
 * themselves, not through a linearised slope.
 */
import { ADC_FULL_SCALE, PROBE_REFERENCE_OHM } from '../../shared/board/map';
import {
  bOfCurve,
  codeFromOhm,
  KELVIN_AT_0C,
  REFERENCE_PROBE,
  resistanceOhm,
  type SteinhartHart,
  selfHeatingK,
  temperatureFromCode,
} from '../../shared/physics/ntc';
import { oneBOffK } from '../../shared/physics/ntc-fit';
import { findPart, isKind } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import { ADC, CLAMP_LEAKAGE_A, LOGIC, ROOM } from '../circuit/limits';
import { type BudgetItem, type BudgetTotal, total } from './item';

/** The parts of one probe's channel, as the netlist has them. */
export interface ProbeChannel {
  readonly referenceOhm: number;
  readonly referenceTolerance: number;
  readonly referenceTempcoPerK: number;
  readonly seriesOhm: number;
  readonly filterFarad: number;
  readonly ntcTolerance: number;
  readonly ntcB: number;
  readonly ntcBTolerance: number;
  readonly dissipationMwPerK: number;
}

/** Reads a channel's parts out of the netlist; null when one is missing or of another kind. */
export function probeChannel(
  circuit: Circuit,
  refs: { reference: string; series: string; filter: string; probe: string },
): ProbeChannel | null {
  const reference = findPart(circuit, refs.reference);
  const series = findPart(circuit, refs.series);
  const filter = findPart(circuit, refs.filter);
  const probe = findPart(circuit, refs.probe);
  if (reference === undefined || !isKind(reference, 'resistor')) return null;
  if (series === undefined || !isKind(series, 'resistor')) return null;
  if (filter === undefined || !isKind(filter, 'capacitor')) return null;
  if (probe === undefined || !isKind(probe, 'thermistor')) return null;
  return {
    referenceOhm: reference.ratings.ohm,
    referenceTolerance: reference.ratings.tolerance,
    referenceTempcoPerK: reference.ratings.tempcoPerK,
    seriesOhm: series.ratings.ohm,
    filterFarad: filter.ratings.farad,
    ntcTolerance: probe.ratings.tolerance,
    ntcB: probe.ratings.b,
    ntcBTolerance: probe.ratings.bTolerance,
    dissipationMwPerK: probe.ratings.dissipationMwPerK,
  };
}

/** Insulation of probe, lead and terminals in damp air, ohm (common practice: below it, replace). */
const DAMP_LEAK_OHM = 10e6;
/** Two metres there and back of 0.25 mm2, 0.07 ohm/m. */
const LEAD_OHM = 0.3;
/** What the fitted curve differs from the maker's table, K (shared/physics/ntc.ts). */
const CURVE_K = 0.005;
/** Lower and upper end of the range the budget is stated for, °C. */
export const PROBE_RANGE_C = { from: 10, to: 40 } as const;
/** Offset calibration is done here, °C, against a thermometer good to this, K. */
export const PROBE_CALIBRATION = { atC: 25, thermometerK: 0.1 } as const;

export interface ProbeBudget {
  readonly atC: number;
  readonly items: readonly BudgetItem[];
  readonly asBuilt: BudgetTotal;
  /** After one offset found in water at 25 °C. */
  readonly calibrated: BudgetTotal;
}

interface Cause {
  readonly name: string;
  readonly source: string;
  /** Signed error, K, at `tempC` when the cause is at its limit. */
  readonly errorK: (tempC: number) => number;
  /** True when an offset taken at another temperature takes it along. */
  readonly constant: boolean;
}

/** The causes, each as the error it makes at a temperature, of a probe with this curve. */
function causes(channel: ProbeChannel, curve: SteinhartHart): Cause[] {
  const { referenceOhm } = channel;
  const isReference = curve === REFERENCE_PROBE;
  const ntcB = isReference ? channel.ntcB : bOfCurve(curve, 25, 85).b;
  const ohmAt = (tempC: number): number => resistanceOhm(tempC, curve);
  const idealCode = (tempC: number): number => codeFromOhm(ohmAt(tempC), referenceOhm);
  const fromCode = (tempC: number, code: number): number =>
    temperatureFromCode(code, curve, PROBE_REFERENCE_OHM) - tempC;
  const fromOhm = (tempC: number, change: (ohm: number) => number): number =>
    fromCode(tempC, codeFromOhm(change(ohmAt(tempC)), referenceOhm));
  const shiftLsb = (lsb: number) => (tempC: number) => fromCode(tempC, idealCode(tempC) + lsb);
  const resistorShare =
    channel.referenceTolerance +
    channel.referenceTempcoPerK * (ROOM.maxC + ROOM.enclosureRiseK - 25);
  const sampleFarad = ADC.conversionS / ADC.inputOhmMin;
  const droop = (ADC.conversionsPerBurst * sampleFarad) / (2 * channel.filterFarad);
  const sourceOhm = (tempC: number): number => {
    const ohm = ohmAt(tempC);
    return (ohm * referenceOhm) / (ohm + referenceOhm) + channel.seriesOhm;
  };
  return [
    {
      name: 'probe, resistance at 25 °C',
      source: `NTC tolerance ${channel.ntcTolerance * 100} % (data sheet)`,
      errorK: (c) => fromOhm(c, (ohm) => ohm * (1 + channel.ntcTolerance)),
      constant: true,
    },
    {
      name: 'probe, B value',
      source: `B tolerance ${channel.ntcBTolerance * 100} % (data sheet)`,
      errorK: (c) =>
        fromOhm(
          c,
          (ohm) =>
            ohm *
            Math.exp(
              ntcB * channel.ntcBTolerance * (1 / (c + KELVIN_AT_0C) - 1 / (25 + KELVIN_AT_0C)),
            ),
        ),
      constant: true,
    },
    isReference
      ? {
          name: 'curve fitted to the table',
          source: 'shared/physics/ntc.ts, tests/reference',
          errorK: () => CURVE_K,
          constant: false,
        }
      : {
          name: 'one B instead of the table',
          source: 'as of the reference probe, told by its B25/85 alone: a table is nearer',
          errorK: (c) => oneBOffK(25, 85, c),
          constant: true,
        },
    {
      name: 'reference resistor, with drift',
      source: `${channel.referenceTolerance * 100} %, ${channel.referenceTempcoPerK * 1e6} ppm/K, box at ${ROOM.maxC + ROOM.enclosureRiseK} °C`,
      errorK: (c) => fromCode(c, codeFromOhm(ohmAt(c), referenceOhm * (1 + resistorShare))),
      constant: true,
    },
    {
      name: 'ADC non-linearity',
      source: `${ADC.inlLsb} LSB, erratum E11 (published characterisation)`,
      errorK: shiftLsb(ADC.inlLsb),
      constant: false,
    },
    {
      name: 'ADC offset and gain',
      source: `${ADC.offsetLsb} LSB (not in the data sheet; common experience)`,
      errorK: shiftLsb(ADC.offsetLsb),
      constant: true,
    },
    {
      name: 'ADC noise and step',
      source: `${ADC.noiseLsb} LSB rms, mean of ${ADC.conversionsPerReading}`,
      errorK: shiftLsb((3 * ADC.noiseLsb) / Math.sqrt(ADC.conversionsPerReading) + 0.5),
      constant: false,
    },
    {
      name: 'ADC input, sampling charge',
      source: `100 kΩ while converting (data sheet), ${ADC.conversionsPerBurst} conversions from ${Math.round(channel.filterFarad * 1e9)} nF`,
      errorK: (c) => fromCode(c, idealCode(c) * (1 - droop)),
      constant: true,
    },
    {
      name: 'pin leakage',
      source: '1 µA (RP2040 data sheet, largest)',
      errorK: (c) =>
        fromCode(
          c,
          idealCode(c) + (ADC_FULL_SCALE * LOGIC.leakageA * sourceOhm(c)) / LOGIC.nominalV,
        ),
      constant: true,
    },
    {
      name: 'leakage of the clamps',
      source: `${CLAMP_LEAKAGE_A * 1e9} nA in a warm box (data sheets of switching diodes)`,
      errorK: (c) =>
        fromCode(
          c,
          idealCode(c) + (ADC_FULL_SCALE * CLAMP_LEAKAGE_A * sourceOhm(c)) / LOGIC.nominalV,
        ),
      constant: false,
    },
    {
      name: 'self-heating',
      source: `${channel.dissipationMwPerK} mW/K, sheathed in wet wool (data sheets: 1.5 to 7)`,
      errorK: (c) =>
        selfHeatingK(ohmAt(c), LOGIC.nominalV, channel.dissipationMwPerK, 1, referenceOhm),
      constant: true,
    },
    {
      name: 'damp across the lead',
      source: '10 MΩ (common practice)',
      errorK: (c) => fromOhm(c, (ohm) => (ohm * DAMP_LEAK_OHM) / (ohm + DAMP_LEAK_OHM)),
      constant: false,
    },
    {
      name: 'lead resistance',
      source: '2 m of 0.25 mm²',
      errorK: (c) => fromOhm(c, (ohm) => ohm + LEAD_OHM),
      constant: true,
    },
  ];
}

/** Error budget of a probe at `atC`, °C, stated for 10 to 40 °C; of the reference probe, or of one with a single B. */
export function probeBudget(
  channel: ProbeChannel,
  atC: number,
  curve: SteinhartHart = REFERENCE_PROBE,
): ProbeBudget {
  const all = causes(channel, curve);
  const items = all.map(({ name, source, errorK }) => ({
    name,
    source,
    limit: Math.abs(errorK(atC)),
  }));
  const left = all.map(({ name, source, errorK, constant }) => ({
    name,
    source,
    limit: Math.abs(constant ? errorK(atC) - errorK(PROBE_CALIBRATION.atC) : errorK(atC)),
  }));
  const thermometer = {
    name: 'thermometer used',
    source: 'its certificate',
    limit: PROBE_CALIBRATION.thermometerK,
  };
  return { atC, items, asBuilt: total(items), calibrated: total([...left, thermometer]) };
}
