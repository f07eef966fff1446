/**
 * How much acid brings a water to a pH, and what it reaches with less. The way of Whipker et al. 1996,
 * Commun. Soil Sci. Plant Anal. 27:959: carbonates by the start pH, and no more protons counted than the
 * acid gives at the end pH. Good to 5 % of the acid for a water whose alkalinity is carbonate's.
 */
import { type AcidName, type Nutrients, nutrientsOf, type Product, protonsGiven } from './acid';
import { alkalinityLeftMeqL, ionicStrengthMolL, type Medium, WATER_C } from './carbonate';
import { accept, decline, type Verdict } from './verdict';

/** A water as a test kit and meters tell it. */
export interface Water {
  readonly alkalinityMeqL: number;
  readonly ph: number;
  readonly waterC: number;
  /** At 25 C; null where nobody measured. */
  readonly ecMsCm: number | null;
}

/** Taps and wells (common practice): a pH beyond is a reading gone wrong, or no water for plants. */
export const START_PH = { low: 5.5, high: 10 } as const;
/** Below 5 stone wool itself dissolves and roots are harmed; above 7 there is nothing to mend (common practice). */
export const TARGET_PH = { low: 5, high: 7 } as const;
/** Less holds no pH: a drop too much goes far below it. More is no water that acid mends (common practice). */
export const ALKALINITY_MEQ_L = { low: 0.2, high: 12 } as const;
/** An acid that takes more than this thins the water itself: it is too weak for the job. */
const THINNEST_UNITS_PER_L = 50;

/** What seedlings should not get from acid alone, and who says so. */
export interface NutrientCap {
  readonly field: keyof Nutrients;
  readonly element: string;
  readonly maxMgL: number;
  readonly source: string;
}

export const NUTRIENT_CAPS: readonly NutrientCap[] = [
  {
    field: 'pMgL',
    element: 'phosphorus',
    // 2.25 fl oz of 75 % to 100 gal.
    maxMgL: 65,
    source: 'Univ. of Massachusetts, Adjusting Alkalinity with Acids',
  },
  {
    field: 'nMgL',
    element: 'nitrogen',
    // All that seedlings are fed; acid on top of feed would double it.
    maxMgL: 100,
    source: 'Utah State Univ., what transplants are fed in all',
  },
  { field: 'sMgL', element: 'sulfur', maxMgL: 80, source: 'sulfate of 240 mg/l; from memory' },
];

export interface AcidDose {
  readonly unit: Product['unit'];
  /** Of the product, to a litre of water. */
  readonly perL: number;
  readonly takenMeqL: number;
  readonly leftMeqL: number;
  readonly adds: Nutrients;
}

const inRange = (value: number, { low, high }: { readonly low: number; readonly high: number }) =>
  value >= low && value <= high;

const mediumOf = ({ alkalinityMeqL, waterC, ecMsCm }: Water): Medium => ({
  waterC,
  ionicStrengthMolL: ionicStrengthMolL(ecMsCm, alkalinityMeqL),
});

/** Why no acid is reckoned for this water, or null. */
function whyNoWater({ alkalinityMeqL, ph, waterC }: Water): string | null {
  if (!inRange(ph, START_PH)) {
    return `Water of pH ${ph} is out of what is reckoned here: ${START_PH.low} to ${START_PH.high}. Check the meter in its buffers.`;
  }
  if (!inRange(waterC, WATER_C)) {
    return `Water is reckoned from ${WATER_C.low} to ${WATER_C.high} C.`;
  }
  if (!(alkalinityMeqL >= ALKALINITY_MEQ_L.low)) {
    return 'This water has hardly any alkalinity (less than 0.2 meq/l, 10 mg/l CaCO3): a drop of acid goes too far. Mix the feed first; its own acidity is often enough.';
  }
  if (!(alkalinityMeqL <= ALKALINITY_MEQ_L.high)) {
    return 'That is more alkalinity than acid can mend (12 meq/l, 600 mg/l CaCO3). Use rain or purified water, or blend with it.';
  }
  return null;
}

/**
 * The acid that brings `water` to `targetPh`. Refuses a target that acid cannot or should not reach, a
 * product too weak for it, and a dose that gives seedlings too much of what the acid is made of.
 */
export function acidDose(
  water: Water,
  targetPh: number,
  name: AcidName,
  product: Product,
): Verdict<AcidDose> {
  const wrong = whyNoWater(water);
  if (wrong !== null) return decline(wrong);
  if (!inRange(targetPh, TARGET_PH)) {
    return decline(
      `The target must be pH ${TARGET_PH.low} to ${TARGET_PH.high}: below, stone wool dissolves and roots burn; above, water needs no acid.`,
    );
  }
  if (targetPh >= water.ph) {
    return decline(
      `The water has pH ${water.ph} already, and acid only lowers it: nothing to add.`,
    );
  }
  const medium = mediumOf(water);
  const leftMeqL = alkalinityLeftMeqL(water.alkalinityMeqL, water.ph, targetPh, medium);
  const takenMeqL = water.alkalinityMeqL - leftMeqL;
  const molL = takenMeqL / 1000 / protonsGiven(name, targetPh, medium);
  const perL = molL / product.molPerUnit;
  if (perL > THINNEST_UNITS_PER_L) {
    return decline(
      `That acid is too weak for this water: it would take more than ${THINNEST_UNITS_PER_L} ${product.unit} to a litre. Take a stronger one.`,
    );
  }
  const adds = nutrientsOf(name, molL);
  const over = NUTRIENT_CAPS.find(({ field, maxMgL }) => adds[field] > maxMgL);
  if (over !== undefined) {
    // What an acid brings goes with the alkalinity there is to take away.
    const percent = Math.floor((100 * over.maxMgL) / adds[over.field]);
    return decline(
      `So much ${name} acid brings ${Math.round(adds[over.field])} mg/l of ${over.element}, and ${over.maxMgL} is as much as seedlings should get (${over.source}). Take another acid, or blend first: ${percent} parts of this water to ${100 - percent} of rain or purified water.`,
    );
  }
  return accept({ unit: product.unit, perL, takenMeqL, leftMeqL, adds });
}

/** Narrower than any meter shows. */
const PH_STEP = 0.001;

/** The pH that `unitsPerL` of a product bring `water` to; never above where it was. */
export function phReached(
  water: Water,
  name: AcidName,
  product: Product,
  unitsPerL: number,
): number {
  const medium = mediumOf(water);
  const givenMmolL = 1000 * unitsPerL * product.molPerUnit;
  const surplus = (ph: number): number =>
    alkalinityLeftMeqL(water.alkalinityMeqL, water.ph, ph, medium) +
    givenMmolL * protonsGiven(name, ph, medium) -
    water.alkalinityMeqL;
  let low = 0;
  let high = water.ph;
  while (high - low > PH_STEP) {
    const middle = (low + high) / 2;
    if (surplus(middle) > 0) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}
