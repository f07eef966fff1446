/** What readings of a scale that is being tried mean. Pure; masses in g. */
import type { ScaleMeasurement } from '../../shared/link/methods';
import type { UnitSystem } from '../../shared/units';
import { assumedCountsPerG } from '../calibration/scale';
import { weightText } from '../calibration/words';
import { capitalised } from '../words/capitalised';
import { type Finding, good, wrong } from './finding';
import { BOARD_LIMITS } from './judge';

/** The bare scale. Null where it is fit to be loaded. */
export function judgeEmpty(
  empty: ScaleMeasurement,
  cellG: number,
  units: UnitSystem,
): Finding | null {
  if (empty.silent)
    return wrong(
      'scale',
      'The converter of the scale says nothing.',
      'See its supply and the two wires DATA and CLOCK, step 2.6 of the build guide.',
    );
  if (empty.saturated)
    return wrong(
      'scale',
      'The empty scale is at the end of its range.',
      'One wire of the bridge is off, or two are swapped: red and black are its supply, green and white its signal. Else something presses on the cell.',
    );
  const noiseG = empty.sdCode / assumedCountsPerG(cellG);
  if (noiseG <= BOARD_LIMITS.noiseG) return null;
  return wrong(
    'scale',
    `Readings of the empty scale scatter by ${weightText(noiseG, units)}.`,
    'Keep its cable away from mat and pump, join its shield as the build guide says, and let nothing touch the platform.',
  );
}

/** The same scale under the known weight. */
export function judgeLoaded(
  emptyCode: number,
  loadedCode: number,
  { weightG, cellG }: { readonly weightG: number; readonly cellG: number },
  units: UnitSystem,
): Finding {
  const share = (loadedCode - emptyCode) / (weightG * assumedCountsPerG(cellG));
  const weight = weightText(weightG, units);
  if (share <= -BOARD_LIMITS.spanMinShare)
    return wrong(
      'scale',
      `The reading falls when ${weight} are put on.`,
      'The cell is upside down, or its signal wires are swapped: turn it over, or swap green and white.',
    );
  if (share >= BOARD_LIMITS.spanMinShare && share <= BOARD_LIMITS.spanMaxShare)
    return good(
      'scale',
      `${capitalised(weight)} on the scale are seen as they should be, as of a cell of ${share.toFixed(1)} mV/V (cells give 1 to 3). \`trayward scale calibrate\` comes next.`,
    );
  return wrong(
    'scale',
    `Under ${weight} the reading moves as if the cell gave ${share.toFixed(2)} mV/V: cells give 1 to 3.`,
    'Check the weight, the rating on the cell, and that cell and platform touch nothing but their screws.',
  );
}
