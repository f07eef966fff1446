/** What the pump gives against what was planned, by its last weighed doses. Pure. */
import { gFromMl } from '../../shared/physics/water';
import { notesOf, type Record } from '../explain/record';

/** So many doses make one figure: one dose in a draught is no worn tube. */
const DOSES = 5;

/** Middle of the last doses' shares; 1 where none was weighed since the pump was calibrated. */
export function pumpShareOf(record: Record): number {
  const calibratedMs =
    notesOf(record, 'calibration')
      .filter(({ entry }) => entry.target === 'pump')
      .at(-1)?.atMs ?? record.fromMs;
  const shares = notesOf(record, 'dose')
    .filter(
      ({ atMs, entry }) =>
        atMs > calibratedMs && entry.verdict === 'seen' && Number.isFinite(entry.gainedG),
    )
    .slice(-DOSES)
    .map(({ entry }) => mlPerS(entry.gainedG, entry.ranMs))
    .sort((a, b) => a - b);
  const calibrated = calibrationOf(record);
  const middle = shares[Math.floor(shares.length / 2)];
  return middle === undefined || Number.isNaN(calibrated) ? 1 : middle / calibrated;
}

const mlPerS = (gainedG: number, ranMs: number): number => gainedG / gFromMl(1) / (ranMs / 1000);

/** Of the last calibration, ml/s; NaN without one. */
function calibrationOf(record: Record): number {
  const last = notesOf(record, 'calibration')
    .flatMap(({ entry }) => (entry.target === 'pump' ? [entry.mlPerS] : []))
    .at(-1);
  return last ?? Number.NaN;
}
