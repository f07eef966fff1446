/** Numbers that are good to some percent, with no more digits than that. */
import { ML_PER_GAL, type UnitSystem } from '../../shared/units';

/** Two digits, or three where the first is a 1: steps of 1 to 5 %. */
export function about(value: number): string {
  if (value === 0) return '0';
  const lead = Math.abs(value) / 10 ** Math.floor(Math.log10(Math.abs(value)));
  return String(Number(value.toPrecision(lead < 2 ? 3 : 2)));
}

/** A volume that need not be measured closer: `5.8 l`, `830 ml`, `1.53 gal`. */
export function aboutVolume(ml: number, units: UnitSystem): string {
  if (units === 'us') return `${about(ml / ML_PER_GAL)} gal`;
  return ml < 1000 ? `${about(ml)} ml` : `${about(ml / 1000)} l`;
}
