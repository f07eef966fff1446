/** Quantities as calibrations speak of them: known weights and cells, and what is told in hundredths. */
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { G_PER_OZ, K_PER_F } from '../../shared/units/kinds';

/** A weight or a rating, without digits that mean nothing: `5 kg`, `200 g`, `11.02 lb`. */
export function weightText(massG: number, units: UnitSystem): string {
  if (units === 'us') return formatQuantity('mass', massG, units);
  return massG >= 1000 ? `${Number((massG / 1000).toFixed(2))} kg` : `${Math.round(massG)} g`;
}

/** A small mass, to 0.01 g or 0.001 oz: noise, drift, uncertainty. */
export function fineText(massG: number, units: UnitSystem): string {
  if (units === 'us') return `${(massG / G_PER_OZ).toFixed(3)} oz`;
  return `${massG.toFixed(2)} g`;
}

/** A difference of temperature to a hundredth: `0.24 K`, `0.43 °F`. */
export function differenceText(kelvin: number, units: UnitSystem): string {
  return units === 'us' ? `${(kelvin / K_PER_F).toFixed(2)} °F` : `${kelvin.toFixed(2)} K`;
}
