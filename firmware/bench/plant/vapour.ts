/** Water vapour in air, as far as evaporation needs it. */

/** Saturation vapour pressure over water, kPa; FAO-56 equation 11. `airC` about -20..50 C. */
export function saturationKpa(airC: number): number {
  return 0.6108 * Math.exp((17.27 * airC) / (airC + 237.3));
}

/** Vapour held by one cubic metre of air for each kPa, g; ideal gas, M/(R T) with M = 18.015 g/mol. */
export function vapourGPerM3Kpa(airC: number): number {
  return 18.015e3 / (8.314 * (airC + 273.15));
}

/** Heat that takes one gram of water into the air at 20..30 C, J (FAO-56: 2.45 MJ/kg). */
export const EVAPORATION_J_PER_G = 2450;
