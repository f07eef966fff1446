/**
 * Whether a water is fit for seedlings in plugs, by what a grower can measure. Plugs are judged harder
 * than pots: there is little in a plug to hold salts or pH. Each limit has its source beside it.
 */

/** Best first: `good` as it is, `with-care` once something is done, `unfit` until something is. */
export const FITNESS = ['good', 'with-care', 'unfit'] as const;
export type Fitness = (typeof FITNESS)[number];

export interface WaterReadings {
  readonly ecMsCm: number | null;
  readonly ph: number | null;
  readonly alkalinityMeqL: number | null;
  readonly hardnessMeqL: number | null;
}

export interface WaterFinding {
  readonly reading: 'ec' | 'ph' | 'alkalinity' | 'hardness' | 'together';
  readonly fitness: Fitness;
  readonly says: string;
  readonly source: string;
}

/** What is cited more than once. */
const DOLE = 'J.M. Dole, Water Quality and Treatments, GPN';
const HARDNESS = 'Greenhouse Management, Handling Hardness';
const COX = 'D. Cox, Univ. of Massachusetts, pH and alkalinity';

/** Dole: 0.2 to 0.5 leaves most choice; from 0.75 too much for plugs. */
export const EC_GOOD_MAX_MS_CM = 0.5;
export const EC_PLUGS_MAX_MS_CM = 0.75;
/** Dole. */
export const PH_GOOD = { low: 5.5, high: 6.8 } as const;
/** Dole: 40 to 65 mg/l CaCO3. */
export const ALKALINITY_GOOD_MEQ_L = { low: 0.8, high: 1.3 } as const;
/** Cox: above 100 mg/l CaCO3 high pH is a concern, of plugs most. */
export const ALKALINITY_PLUGS_MAX_MEQ_L = 2;
/** 150 mg/l CaCO3 (Handling Hardness); 50 mg/l (Penn State Extension, from memory; a copy of its text has it). */
export const HARDNESS_MEQ_L = { low: 1, high: 3 } as const;

/** Calcium bicarbonate conducts 0.104 mS/cm to each meq/l: its ions at infinite dilution, CRC Handbook. Other salts only add. */
const LEAST_MS_CM_PER_MEQ_L = 0.08;
/** A softener puts sodium in the place of calcium: much alkalinity with little hardness. */
const SOFTENED_SHARE = 0.4;

function ofEc(ecMsCm: number): Omit<WaterFinding, 'reading'> {
  if (ecMsCm <= EC_GOOD_MAX_MS_CM) {
    return { fitness: 'good', says: 'Few salts: there is room for feed.', source: DOLE };
  }
  if (ecMsCm < EC_PLUGS_MAX_MS_CM) {
    return {
      fitness: 'with-care',
      says: `More salts than the ${EC_GOOD_MAX_MS_CM} mS/cm that leave you a choice of feeds. They count towards the feed's EC, but feed nothing: blend with rain or purified water where you can.`,
      source: DOLE,
    };
  }
  return {
    fitness: 'unfit',
    says: `Too many salts for plugs: below ${EC_PLUGS_MAX_MS_CM} mS/cm is wanted. Blend with rain or purified water, and have a laboratory look for sodium and chloride.`,
    source: DOLE,
  };
}

function ofPh(ph: number): Omit<WaterFinding, 'reading'> {
  if (ph >= PH_GOOD.low && ph <= PH_GOOD.high) {
    return { fitness: 'good', says: 'Right as it is.', source: DOLE };
  }
  return {
    fitness: 'with-care',
    says:
      ph < PH_GOOD.low
        ? `Below ${PH_GOOD.low}: check the meter, and ask what the water was treated with.`
        : 'High. By itself that does no harm: how hard it is to bring down is in the alkalinity.',
    source: ph < PH_GOOD.low ? DOLE : COX,
  };
}

function ofAlkalinity(meqL: number): Omit<WaterFinding, 'reading'> {
  if (meqL < ALKALINITY_GOOD_MEQ_L.low) {
    return {
      fitness: 'with-care',
      says: 'Little to hold the pH: it follows the feed and the wool. Measure the pH of what you pour, each time; add no acid before the feed is in.',
      source: DOLE,
    };
  }
  if (meqL <= ALKALINITY_GOOD_MEQ_L.high) {
    return { fitness: 'good', says: 'Holds the pH, and does not raise it.', source: DOLE };
  }
  return {
    fitness: meqL <= ALKALINITY_PLUGS_MAX_MEQ_L ? 'with-care' : 'unfit',
    says:
      meqL <= ALKALINITY_PLUGS_MAX_MEQ_L
        ? 'Raises the pH in the wool with time: a little acid, or an acid feed. `trayward water acid` tells how much.'
        : 'Too much for plugs as it is: the pH in the wool rises and iron is lost. Bring it down with acid (`trayward water acid`), or blend with rain or purified water.',
    source: meqL <= ALKALINITY_PLUGS_MAX_MEQ_L ? DOLE : COX,
  };
}

function ofHardness(meqL: number): Omit<WaterFinding, 'reading'> {
  if (meqL > HARDNESS_MEQ_L.high) {
    return {
      fitness: 'with-care',
      says: 'Hard: have calcium and magnesium measured, 3 to 5 of calcium to 1 of magnesium is wanted, and take a feed for hard water. Lime will show on nozzles and tubes.',
      source: HARDNESS,
    };
  }
  if (meqL < HARDNESS_MEQ_L.low) {
    return {
      fitness: 'with-care',
      says: 'Soft: the feed must bring calcium and magnesium. Take one for soft water.',
      source: 'Penn State Extension, irrigation water; from memory',
    };
  }
  return { fitness: 'good', says: 'Some calcium and magnesium, not too much.', source: HARDNESS };
}

/** What no single reading tells. */
function together(readings: WaterReadings): readonly WaterFinding[] {
  const { ecMsCm, alkalinityMeqL, hardnessMeqL } = readings;
  const found: WaterFinding[] = [];
  if (ecMsCm !== null && alkalinityMeqL !== null) {
    const leastMsCm = LEAST_MS_CM_PER_MEQ_L * alkalinityMeqL;
    if (ecMsCm < leastMsCm) {
      found.push({
        reading: 'together',
        fitness: 'with-care',
        says: `These do not go together: so much alkalinity alone conducts ${leastMsCm.toFixed(2)} mS/cm and more. Check the units, then the meters.`,
        source: 'CRC Handbook, conductivity of calcium and bicarbonate ions',
      });
    }
  }
  if (alkalinityMeqL !== null && hardnessMeqL !== null) {
    const isSoftened =
      alkalinityMeqL > ALKALINITY_GOOD_MEQ_L.high && hardnessMeqL < SOFTENED_SHARE * alkalinityMeqL;
    if (isSoftened) {
      found.push({
        reading: 'together',
        fitness: 'unfit',
        says: 'Much alkalinity with little hardness is what a water softener leaves: sodium in the place of calcium. Take water from before the softener; where there is none, have sodium measured.',
        source: 'common practice',
      });
    }
  }
  return found;
}

/** Each reading judged, in the order they are given, then what they say together. Empty without a reading. */
export function waterFindings(readings: WaterReadings): readonly WaterFinding[] {
  const { ecMsCm, ph, alkalinityMeqL, hardnessMeqL } = readings;
  return [
    ...(ecMsCm === null ? [] : [{ reading: 'ec' as const, ...ofEc(ecMsCm) }]),
    ...(ph === null ? [] : [{ reading: 'ph' as const, ...ofPh(ph) }]),
    ...(alkalinityMeqL === null
      ? []
      : [{ reading: 'alkalinity' as const, ...ofAlkalinity(alkalinityMeqL) }]),
    ...(hardnessMeqL === null
      ? []
      : [{ reading: 'hardness' as const, ...ofHardness(hardnessMeqL) }]),
    ...together(readings),
  ];
}

/** The worst of the findings. */
export function fitnessOf(findings: readonly WaterFinding[]): Fitness {
  const worst = Math.max(0, ...findings.map(({ fitness }) => FITNESS.indexOf(fitness)));
  return FITNESS[worst] ?? 'good';
}
