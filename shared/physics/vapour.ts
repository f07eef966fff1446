/** Water vapour in air, as far as evaporation needs it. */

/** Saturation vapour pressure over water, kPa; FAO-56 equation 11. `airC` about -20..50 C. */
export function saturationKpa(airC: number): number {
  return 0.6108 * Math.exp((17.27 * airC) / (airC + 237.3));
}

/** How fast that rises with temperature, kPa/K; FAO-56 equation 13. */
export function saturationSlope(airC: number): number {
  return slopeAt(airC, saturationKpa(airC));
}

/** The same where the pressure at `airC` is known. */
export function slopeAt(airC: number, kpa: number): number {
  return (4098 * kpa) / (airC + 237.3) ** 2;
}

/** Psychrometric constant at about 100 m above the sea, kPa/K (FAO-56 equation 8). */
export const PSYCHROMETER_KPA_K = 0.0666;

/** Vapour held by one cubic metre of air for each kPa, g; ideal gas, M/(R T) with M = 18.015 g/mol. */
export function vapourGPerM3Kpa(airC: number): number {
  return 18.015e3 / (8.314 * (airC + 273.15));
}

/** Temperature, C, to which a wet body in air cools that is neither lit nor heated. */
export function wetBulbC(airC: number, vapourKpa: number): number {
  let low = -20;
  let high = airC;
  for (let turn = 0; turn < 40; turn++) {
    const middle = (low + high) / 2;
    const short = saturationKpa(middle) - PSYCHROMETER_KPA_K * (airC - middle) < vapourKpa;
    if (short) low = middle;
    else high = middle;
  }
  return high;
}

/** Heat that takes one gram of water into the air at 20..30 C, J (FAO-56: 2.45 MJ/kg). */
export const EVAPORATION_J_PER_G = 2450;
