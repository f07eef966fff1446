/**
 * Scale calibration with a known weight: judges three measurements (empty, under the weight, empty
 * again) and works out what the board shall use. Pure.
 */
import type { ScaleCalibration, ScaleMeasurement } from '../../shared/link/methods';
import {
  calibrateTwoPoint,
  isSaturated,
  massUncertaintyG,
  nominalCountsPerG,
  SCALE_MEAN_CODES,
  SCALE_WEIGHT_MIN_SHARE,
  type ScaleUncertainties,
  standardFromLimit,
  weightNeededG,
} from '../../shared/physics/bridge';
import type { UnitSystem } from '../../shared/units';
import { SCALE_CALIBRATION_LIMITS as LIMITS } from './limits';
import { type Assessment, type Refusal, refusal } from './refusal';
import { fineText, weightText } from './words';

export interface ScaleSetup {
  readonly weightG: number;
  /** Half-width the known weight is trusted to, g. */
  readonly weightToleranceG: number;
  readonly cellG: number;
  /** Weight of the tray at container capacity, g. */
  readonly workingG: number;
  /** How refusals are worded. */
  readonly units: UnitSystem;
}

/** The three measurements, in the order they are made. */
export interface ScaleMeasurements {
  readonly empty: ScaleMeasurement;
  readonly loaded: ScaleMeasurement;
  readonly emptyAgain: ScaleMeasurement;
}

export interface ScaleFindings {
  readonly zeroCode: number;
  readonly countsPerG: number;
  /** Change of the code under the weight. */
  readonly spanCode: number;
  /** Standard deviation of single readings under the weight, g. */
  readonly repeatabilityG: number;
  /** Largest drift within one measurement, g. */
  readonly driftG: number;
  /** How far the empty scale came back from where it was, g. */
  readonly zeroReturnG: number;
  /** Standard uncertainty of a reading at the working weight, g. */
  readonly uncertaintyG: number;
  readonly uncertainties: ScaleUncertainties;
}

export type ScaleAssessment = Assessment<ScaleFindings>;

/** Refuses a setup that cannot work before anything is measured; null when it can. */
export function checkSetup(setup: ScaleSetup): Refusal | null {
  const { weightG, cellG, workingG, units } = setup;
  const kg = (massG: number): string => weightText(massG, units);
  if (!(weightG >= LIMITS.weightMinG && weightG <= LIMITS.weightMaxG)) {
    return refusal(
      'weight-out-of-range',
      `A known weight of ${kg(weightG)} is of no use here.`,
      `Use a weight from ${kg(LIMITS.weightMinG)} to ${kg(LIMITS.weightMaxG)}.`,
    );
  }
  if (!(cellG >= LIMITS.cellMinG && cellG <= LIMITS.cellMaxG)) {
    return refusal(
      'cell-out-of-range',
      `A load cell rated for ${kg(cellG)} carries no tray.`,
      `Read the rating on the cell: ${kg(LIMITS.cellMinG)} to ${kg(LIMITS.cellMaxG)}.`,
    );
  }
  if (weightG > cellG) {
    return refusal(
      'weight-above-cell',
      `A weight of ${kg(weightG)} would overload the ${kg(cellG)} cell.`,
      `Use a weight of at most ${kg(cellG)}; best is one near the soaked tray's.`,
    );
  }
  const soakedG = workingG * LIMITS.overloadFactor;
  if (soakedG > cellG) {
    return refusal(
      'cell-too-small',
      `A ${kg(cellG)} cell is too small: the tray weighs ${kg(workingG)} drained, and ${kg(soakedG)} soaked with a hand on it.`,
      `Fit a cell of ${kg(nextCell(soakedG))} or more.`,
    );
  }
  const leastOfCellG = cellG * SCALE_WEIGHT_MIN_SHARE;
  if (weightG < leastOfCellG) {
    return refusal(
      'weight-too-small',
      `A weight of ${kg(weightG)} is too small for a cell of ${kg(cellG)}.`,
      `A weight of ${kg(leastOfCellG)} would do; best is one near the soaked tray's.`,
    );
  }
  const leastOfTrayG = workingG * LIMITS.weightShare;
  return weightG < leastOfTrayG ? tooSmall(setup, leastOfTrayG) : null;
}

/** Judges one measurement by itself; null when it is good. `countsPerG`: exact or nominal. */
export function checkMeasurement(
  measurement: ScaleMeasurement,
  countsPerG: number,
  when: string,
  units: UnitSystem,
): Refusal | null {
  if (measurement.silent || measurement.samples === 0) {
    return refusal(
      'scale-silent',
      `The scale sent nothing ${when}.`,
      'Check the scale cable at both ends, then start again.',
    );
  }
  if (measurement.saturated || isSaturated(measurement.meanCode)) {
    return refusal(
      'scale-saturated',
      `The scale was at the end of its range ${when}: overloaded, jammed, or a bridge wire is broken.`,
      'Take the load off, check the wires and that nothing presses on the scale, then start again.',
    );
  }
  const noiseG = Math.abs(measurement.sdCode / countsPerG);
  const driftG = Math.abs(measurement.driftCode / countsPerG);
  if (noiseG > LIMITS.noiseG || driftG > LIMITS.driftG) {
    return refusal(
      'scale-unstable',
      `The reading was not steady ${when}: it scattered by ${fineText(noiseG, units)} and drifted by ${fineText(driftG, units)}.`,
      'Keep off the bench, stop fans and draughts, wait a minute, then start again.',
    );
  }
  return null;
}

/** Counts per gram to judge noise with before the span is known: of a 1 mV/V cell, the unkindest. */
export function assumedCountsPerG(cellG: number): number {
  return nominalCountsPerG({ ratedG: cellG, ratedMvPerV: 1 });
}

/** Judges all three measurements together. Nothing may be sent to the board unless this is `ok`. */
export function assessScale(setup: ScaleSetup, measured: ScaleMeasurements): ScaleAssessment {
  const before = checkSetup(setup);
  if (before !== null) return before;
  for (const [measurement, when] of [
    [measured.empty, 'when empty'],
    [measured.loaded, 'under the weight'],
    [measured.emptyAgain, 'when empty again'],
  ] as const) {
    const rough = checkMeasurement(measurement, Number.POSITIVE_INFINITY, when, setup.units);
    if (rough !== null) return rough;
  }
  const span = calibrateTwoPoint(measured.empty.meanCode, measured.loaded.meanCode, setup.weightG);
  if (!span.ok) {
    const down = measured.loaded.meanCode < measured.empty.meanCode;
    return refusal(down ? 'scale-wrong-sign' : 'scale-no-change', span.why, 'Nothing was changed.');
  }
  const { countsPerG } = span.value;
  const { units } = setup;
  return (
    checkSpan(setup, countsPerG) ??
    checkEmpty(setup, measured.empty.meanCode / countsPerG) ??
    checkMeasurement(measured.empty, countsPerG, 'when empty', units) ??
    checkMeasurement(measured.loaded, countsPerG, 'under the weight', units) ??
    checkMeasurement(measured.emptyAgain, countsPerG, 'when empty again', units) ??
    judge(setup, measured, countsPerG)
  );
}

function checkSpan(setup: ScaleSetup, countsPerG: number): Refusal | null {
  const kg = (massG: number): string => weightText(massG, setup.units);
  const mvPerV = countsPerG / nominalCountsPerG({ ratedG: setup.cellG, ratedMvPerV: 1 });
  if (mvPerV >= LIMITS.ratedMvPerVMin && mvPerV <= LIMITS.ratedMvPerVMax) return null;
  return refusal(
    'weight-or-cell-wrong',
    `The span would mean a ${kg(setup.cellG)} cell of ${mvPerV.toFixed(2)} mV/V; cells have 1 to 3 mV/V.`,
    `Check that the weight is really ${kg(setup.weightG)} and the cell really ${kg(setup.cellG)} (--weight, --cell), and that the weight stands free on the scale.`,
  );
}

/** The zero of a cell is off by a few percent of its range; half a tray was left on it otherwise. */
function checkEmpty({ cellG, units }: ScaleSetup, emptyG: number): Refusal | null {
  if (Math.abs(emptyG) <= cellG * LIMITS.emptyShare) return null;
  return refusal(
    'scale-not-empty',
    `The empty scale stood at ${weightText(emptyG, units)} of its ${weightText(cellG, units)} cell: something was on it, or it is jammed.`,
    'Take everything off the scale - tray, lid, jug -, see that nothing presses on it, then start again.',
  );
}

function judge(
  setup: ScaleSetup,
  measured: ScaleMeasurements,
  countsPerG: number,
): ScaleAssessment {
  const { empty, loaded, emptyAgain } = measured;
  const zeroReturnG = (emptyAgain.meanCode - empty.meanCode) / countsPerG;
  const zeroLimitG = LIMITS.zeroReturnG + setup.cellG * LIMITS.zeroReturnShare;
  if (Math.abs(zeroReturnG) > zeroLimitG) {
    return refusal(
      'zero-not-returning',
      `The empty scale came back ${fineText(zeroReturnG, setup.units)} from where it was; at most ${fineText(zeroLimitG, setup.units)} is usual.`,
      'See that nothing was left on the scale and nothing rubs, then start again. A cell that never returns is damaged.',
    );
  }
  const uncertainties = uncertaintiesOf(setup, measured, countsPerG);
  const uncertaintyG = massUncertaintyG(setup.workingG, setup.weightG, uncertainties);
  if (uncertaintyG > LIMITS.targetUncertaintyG) {
    const needed = weightNeededG(setup.workingG, LIMITS.targetUncertaintyG, uncertainties);
    return needed.ok
      ? tooSmall(setup, needed.value, uncertaintyG)
      : refusal('scale-unstable', needed.why, 'Nothing was changed.');
  }
  const drifts = [empty, loaded, emptyAgain].map(({ driftCode }) => Math.abs(driftCode));
  return {
    ok: true,
    findings: {
      zeroCode: (empty.meanCode + emptyAgain.meanCode) / 2,
      countsPerG,
      spanCode: loaded.meanCode - empty.meanCode,
      repeatabilityG: loaded.sdCode / countsPerG,
      driftG: Math.max(...drifts) / countsPerG,
      zeroReturnG,
      uncertaintyG,
      uncertainties,
    },
  };
}

function uncertaintiesOf(
  setup: ScaleSetup,
  { empty, loaded, emptyAgain }: ScaleMeasurements,
  countsPerG: number,
): ScaleUncertainties {
  const ofMean = (m: ScaleMeasurement): number => m.sdCode / Math.sqrt(m.samples) / countsPerG;
  // The zero moved by so much while the weight was on, in steps nobody saw: half of it either way.
  const zeroMoved = Math.abs(emptyAgain.meanCode - empty.meanCode) / countsPerG / 2;
  const loadedMoved = Math.abs(loaded.driftCode) / countsPerG / 2;
  return {
    zeroG: Math.hypot(ofMean(empty), standardFromLimit(zeroMoved)),
    loadedG: Math.hypot(ofMean(loaded), standardFromLimit(loadedMoved)),
    readingG: loaded.sdCode / Math.sqrt(SCALE_MEAN_CODES) / countsPerG,
    weightG: standardFromLimit(setup.weightToleranceG),
  };
}

function tooSmall(
  { weightG, workingG, units }: ScaleSetup,
  neededG: number,
  uncertaintyG: number | null = null,
): Refusal {
  const kg = (massG: number): string => weightText(massG, units);
  const would =
    uncertaintyG === null
      ? `it says too little about a tray of ${kg(workingG)}`
      : `the tray's weight would be uncertain by ${fineText(uncertaintyG, units)}`;
  return refusal(
    'weight-too-small',
    `A weight of ${kg(weightG)} is too small: ${would}.`,
    `A weight of ${kg(roundUp(neededG, units))} would do; best is one near ${kg(workingG)}.`,
  );
}

/** Steps in which one can have weights, small ones and those above `fromG`, g: 100 g and 500 g, or 1/4 lb and 1 lb. */
const WEIGHT_STEPS = {
  metric: { smallG: 100, fromG: 2000, largeG: 500 },
  us: { smallG: 113.4, fromG: 2268, largeG: 453.6 },
} as const;

/** Up to the next weight one can have. */
function roundUp(massG: number, units: UnitSystem): number {
  const { smallG, fromG, largeG } = WEIGHT_STEPS[units];
  const stepG = massG > fromG ? largeG : smallG;
  return Math.ceil(massG / stepG - 1e-9) * stepG;
}

const CELLS_G = [1000, 2000, 3000, 5000, 10_000, 20_000, 30_000, 50_000] as const;
const nextCell = (massG: number): number => CELLS_G.find((cellG) => cellG >= massG) ?? massG;

/** What the board is sent. `unixMs`: now; `rootZoneC`: where the zero was taken, null when unknown. */
export function toCalibration(
  setup: ScaleSetup,
  findings: ScaleFindings,
  unixMs: number,
  rootZoneC: number | null,
): ScaleCalibration {
  return {
    zeroCode: findings.zeroCode,
    countsPerG: findings.countsPerG,
    massG: setup.weightG,
    cellG: setup.cellG,
    uncertaintyG: findings.uncertaintyG,
    zeroCodePerK: 0,
    // Without a temperature coefficient the temperature is a note only; 20 C stands for "a room".
    atC: rootZoneC ?? 20,
    unixMs: Math.round(unixMs),
  };
}
