/** Volumes in no more digits than a forecast knows. Pure. */
import type { UnitSystem } from '../../shared/units';
import { ML_PER_FL_OZ, ML_PER_GAL } from '../../shared/units/kinds';

/** Less is not worth a figure, ml. */
const LITTLE_ML = 5;

/** A volume as a forecast knows it. */
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
