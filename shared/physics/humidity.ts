/**
 * What a grower's instruments say of the air: humidity or a wet bulb to vapour pressure deficit and dew point. After
 * Allen et al. 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56 (chapter 3).
 */
import type { LidPlace } from '../profile/profile';
import { saturationKpa } from './vapour';
import { accept, decline, type Verdict } from './verdict';

export const AIR_LIMITS = {
  /** Where plants are raised; the equations go further. */
  airLeastC: 0,
  airMostC: 50,
  humidityLeastShare: 0.01,
  humidityMostShare: 1,
  /** Leaves are cooled by drying and warmed by light, but not further than this (common practice). */
  leafOffMostK: 10,
  /** The shore of the Dead Sea is the lowest, at 430 m below the sea; crops are grown up to some 4,500 m above it. */
  altitudeLeastM: -450,
  altitudeMostM: 5_000,
} as const;

/** Pressure of the air, kPa, at a height above the sea; FAO-56 equation 7. */
export function pressureKpa(altitudeM: number): number {
  return 101.3 * ((293 - 0.0065 * altitudeM) / 293) ** 5.26;
}

/** How the air goes past the wet bulb. */
export const WET_BULB_AIR = ['fan', 'draught', 'still'] as const;
export type WetBulbAir = (typeof WET_BULB_AIR)[number];

/** Coefficient of a psychrometer, 1/K: with a fan (5 m/s), in a draught (1 m/s), in still air indoors; FAO-56, eq. 16. */
const PSYCHROMETER_PER_K: Readonly<Record<WetBulbAir, number>> = {
  fan: 0.000662,
  draught: 0.0008,
  still: 0.0012,
};

/**
 * Vapour pressure, kPa, from a dry and a wet bulb; FAO-56 equation 15. Refuses a wet bulb that is warmer, and one
 * colder than even dry air cools it.
 */
export function vapourOfWetBulb(
  dryC: number,
  wetC: number,
  altitudeM: number,
  air: WetBulbAir,
): Verdict<number> {
  if (wetC > dryC) {
    return decline(
      'The wet bulb is warmer than the dry one: it cannot be. Wet its sock with clean water, and see which is which.',
    );
  }
  const coefficient = PSYCHROMETER_PER_K[air] * pressureKpa(altitudeM);
  const vapourKpa = saturationKpa(wetC) - coefficient * (dryC - wetC);
  if (vapourKpa > 0) return accept(vapourKpa);
  return decline(
    'Even bone-dry air does not cool a wet bulb so far. Read both again, and check their units.',
  );
}

/** Temperature, C, at which air of this vapour pressure begins to drip; FAO-56 equation 11 the other way round. */
export function dewPointC(vapourKpa: number): number {
  const x = Math.log(vapourKpa / 0.6108);
  return (237.3 * x) / (17.27 - x);
}

/**
 * Between which temperatures that lies where the vapour pressure is known within `doubtKpa`. The lower is -Infinity where
 * the air may hold none at all.
 */
export function dewPointRangeC(vapourKpa: number, doubtKpa: number): { low: number; high: number } {
  const leastKpa = vapourKpa - doubtKpa;
  return {
    low: leastKpa > 0 ? dewPointC(leastKpa) : Number.NEGATIVE_INFINITY,
    high: dewPointC(vapourKpa + doubtKpa),
  };
}

/** Vapour pressure deficit, kPa, between a body's own temperature and the air: below 0 it is wet with dew. */
export function deficitKpa(bodyC: number, vapourKpa: number): number {
  return saturationKpa(bodyC) - vapourKpa;
}

/** A step of hardening off, by the air round the leaves. */
export interface LidStep {
  readonly lids: readonly LidPlace[];
  readonly lowKpa: number;
  readonly highKpa: number;
  /** Who bears such air. */
  readonly plants: string;
}

/**
 * From the closed lid to none. Common practice: 0.1 to 0.5 kPa under a lid, 0.5 to 0.8 in weaning, 0.8 to 1.2 when
 * hardened off. About 0.3 until cuttings root: Michigan State Univ. (Owen 2018, from memory).
 * Greenhouse crops in general: 0.45 to 1.25.
 */
export const LID_STEPS: readonly LidStep[] = [
  { lids: ['closed'], lowKpa: 0, highKpa: 0.3, plants: 'seed, and cuttings without roots' },
  { lids: ['vents-open'], lowKpa: 0.3, highKpa: 0.5, plants: 'seedlings just up' },
  { lids: ['loose', 'propped'], lowKpa: 0.5, highKpa: 0.8, plants: 'plants being weaned' },
  {
    lids: ['off-by-day', 'off'],
    lowKpa: 0.8,
    highKpa: 1.2,
    plants: 'plants that are hardened off',
  },
];

/** The step that air of this deficit round the leaves goes with; null where it is too dry for young plants. */
export function lidStepFor(leafDeficitKpa: number): LidStep | null {
  return LID_STEPS.find(({ highKpa }) => leafDeficitKpa <= highKpa) ?? null;
}
