/**
 * The carbonates of water: what a water of a given pH and alkalinity holds, and what is left of its
 * alkalinity when acid brings it to another pH. Closed system: no carbon dioxide comes or goes meanwhile,
 * as when acid is stirred in within minutes. Water that stands open loses some, and its pH creeps up again.
 */

const KELVIN_AT_0C = 273.15;

/** Where the constants below were fitted, and further than any tap. */
export const WATER_C = { low: 0, high: 50 } as const;

/** One constant: log K = a + b T + c / T + d log T + e / T2, T in kelvin. */
type Fit = readonly [a: number, b: number, c: number, d: number, e: number];

/** Plummer and Busenberg 1982, Geochim. Cosmochim. Acta 46:1011. */
const LOG_K1: Fit = [-356.3094, -0.06091964, 21_834.37, 126.8339, -1_684_915];
const LOG_K2: Fit = [-107.8871, -0.03252849, 5_151.79, 38.92561, -563_713.9];
/** Water itself: Nordstrom et al. 1990, ACS Symp. Ser. 416:398 (from memory). */
const LOG_KW: Fit = [-283.971, -0.05069842, 13_323, 102.24447, -1_119_669];

const logK = ([a, b, c, d, e]: Fit, waterC: number): number => {
  const kelvin = waterC + KELVIN_AT_0C;
  return a + b * kelvin + c / kelvin + d * Math.log10(kelvin) + e / kelvin ** 2;
};

/** First and second dissociation of carbonic acid, and of water, at no ionic strength. `waterC`: see `WATER_C`. */
export function carbonatePk(waterC: number): {
  readonly pk1: number;
  readonly pk2: number;
  readonly pkw: number;
} {
  return {
    pk1: -logK(LOG_K1, waterC),
    pk2: -logK(LOG_K2, waterC),
    pkw: -logK(LOG_KW, waterC),
  };
}

/** A of Davies' equation: from the permittivity of water, Malmberg and Maryott 1956, J. Res. NBS 56:1. */
function daviesA(waterC: number): number {
  const permittivity = 87.74 - 0.40008 * waterC + 9.398e-4 * waterC ** 2 - 1.41e-6 * waterC ** 3;
  return 1.82e6 * (permittivity * (waterC + KELVIN_AT_0C)) ** -1.5;
}

/** The water that acid goes into: where it is, and what its ions do to each other. */
export interface Medium {
  readonly waterC: number;
  /** mol/l; 0 leaves the constants as they are in pure water. */
  readonly ionicStrengthMolL: number;
}

/** Log of the activity coefficient of an ion of `charge`: Davies 1962; good to 0.5 mol/l, a hundred times any tap. */
export function logActivity(charge: number, { waterC, ionicStrengthMolL }: Medium): number {
  const root = Math.sqrt(ionicStrengthMolL);
  return -daviesA(waterC) * charge ** 2 * (root / (1 + root) - 0.3 * ionicStrengthMolL);
}

/** Ionic strength of a water by its EC: Griffin and Jurinak 1973, Soil Sci. 116:26. */
const MOL_L_PER_MS_CM = 0.013;
/** Hard water is calcium bicarbonate in the main: 1.5 mol/l of ionic strength to each eq/l. */
const MOL_PER_EQ = 1.5;

/** Ionic strength in mol/l: by the EC where it is known, else as if all of the alkalinity were calcium's. */
export function ionicStrengthMolL(ecMsCm: number | null, alkalinityMeqL: number): number {
  return ecMsCm === null ? (MOL_PER_EQ * alkalinityMeqL) / 1000 : MOL_L_PER_MS_CM * ecMsCm;
}

/** Alkalinity of a mol of carbonate, and of water alone in eq/l, at a pH as a meter tells it (of activity). */
function sharesAt(ph: number, medium: Medium) {
  const { pk1, pk2, pkw } = carbonatePk(medium.waterC);
  const single = logActivity(1, medium);
  const double = logActivity(2, medium);
  const bicarbonate = 10 ** (ph - pk1 - single);
  const carbonate = bicarbonate * 10 ** (ph - pk2 + single - double);
  return {
    perCarbonate: (bicarbonate + 2 * carbonate) / (1 + bicarbonate + carbonate),
    waterEqL: 10 ** (ph - pkw - single) - 10 ** (-ph - single),
  };
}

/** Alkalinity that is left at `endPh` of a water of `alkalinityMeqL` at `startPh`, meq/l; below 0 once acid is left over. */
export function alkalinityLeftMeqL(
  alkalinityMeqL: number,
  startPh: number,
  endPh: number,
  medium: Medium,
): number {
  const start = sharesAt(startPh, medium);
  const end = sharesAt(endPh, medium);
  const carbonateMolL = (alkalinityMeqL / 1000 - start.waterEqL) / start.perCarbonate;
  return 1000 * (carbonateMolL * end.perCarbonate + end.waterEqL);
}
