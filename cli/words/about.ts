/** Numbers that are good to some percent, with no more digits than that. */
import { formatQuantity, ML_PER_FL_OZ, ML_PER_GAL, type UnitSystem } from '../../shared/units';

/** Two digits, or three where the first is a 1: steps of 1 to 5 %. */
export function about(value: number): string {
  if (value === 0) return '0';
  const lead = Math.abs(value) / 10 ** Math.floor(Math.log10(Math.abs(value)));
  return String(Number(value.toPrecision(lead < 2 ? 3 : 2)));
}

/** A temperature that is known to whole degrees. */
export function degreesText(celsius: number, units: UnitSystem): string {
  const [number, unit] = formatQuantity('temperature', celsius, units).split(' ');
  // Never "-0".
  return `${Math.round(Number(number)) || 0} ${unit}`;
}

/** Two digits: what is reckoned ahead, and not measured. */
export const rough = (value: number): string => String(Number(value.toPrecision(2)));

/** A volume that need not be measured closer: `5.8 l`, `830 ml`, `1.53 gal`, `2.4 fl oz`. */
export function aboutVolume(ml: number, units: UnitSystem, digits = about): string {
  if (units === 'us') {
    return ml < ML_PER_GAL / 2
      ? `${digits(ml / ML_PER_FL_OZ)} fl oz`
      : `${digits(ml / ML_PER_GAL)} gal`;
  }
  return ml < 995 ? `${digits(ml)} ml` : `${digits(ml / 1000)} l`;
}
