/** Water between millilitres and grams, and what the air around it does to a weighing. */

/** Density of the steel that scales and weights are adjusted with (OIML R 111, D 28), kg/m3. */
const WEIGHT_DENSITY_KG_M3 = 8000;

/** Ordinary room air, kg/m3 (20 C, sea level); also the convention of OIML R 111. */
export const ROOM_AIR_KG_M3 = 1.2;

/** Used where nobody has measured the water: a propagation room. */
export const USUAL_WATER_C = 20;

/**
 * Density of air-free water, kg/m3, 0 to 40 C, within 0.001. Outside the range it only extrapolates.
 * Source: Tanaka et al. 2001, Metrologia 38:301 (the CIPM's recommended formula).
 */
export function waterDensityKgM3(tempC: number): number {
  const fromMax = tempC - 3.983035;
  const drop = (fromMax * fromMax * (tempC + 301.797)) / (522528.9 * (tempC + 69.34881));
  return 999.97495 * (1 - drop);
}

/** Volume, ml, of `massG` grams of water. */
export function mlFromG(massG: number, tempC = USUAL_WATER_C): number {
  return (massG * 1000) / waterDensityKgM3(tempC);
}

/** Mass, g, of `ml` millilitres of water. Dilute feed (EC 1 to 2) is about 0.1 % denser. */
export function gFromMl(ml: number, tempC = USUAL_WATER_C): number {
  return (ml * waterDensityKgM3(tempC)) / 1000;
}

/**
 * Density of moist air, kg/m3, within 0.2 % for 900 to 1100 hPa and 10 to 30 C. `humidityShare` 0..1.
 * Source: OIML R 111-1 annex E, simplified CIPM formula.
 */
export function airDensityKgM3(tempC: number, pressureHPa = 1013.25, humidityShare = 0.5): number {
  const vapour = 0.009 * 100 * humidityShare * Math.exp(0.061 * tempC);
  return (0.34848 * pressureHPa - vapour) / (273.15 + tempC);
}

/**
 * True mass, g, of water that a scale adjusted with steel weights shows as `readingG`: the air bears
 * up the water more than it does the steel, about 0.1 %.
 */
export function trueWaterG(readingG: number, tempC: number, airKgM3 = ROOM_AIR_KG_M3): number {
  return (
    (readingG * (1 - airKgM3 / WEIGHT_DENSITY_KG_M3)) / (1 - airKgM3 / waterDensityKgM3(tempC))
  );
}

/**
 * Z factor of gravimetric calibration, ml per gram *read*: density and buoyancy in one number
 * (ISO 8655-6). 1.0029 at 20 C.
 */
export function zFactorMlPerG(tempC: number, airKgM3 = ROOM_AIR_KG_M3): number {
  return mlFromG(trueWaterG(1, tempC, airKgM3), tempC);
}
