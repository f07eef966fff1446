/** What a fitted mat goes by. Where no source is named: learnt on the bench, on even seeds of `npm run bench -- model`. */
export const MODEL_LIMITS = {
  /** Where the search begins: a soaked tray on a usual mat, K/h and 1/h (time constant 4 h: `shared/physics/thermal.ts`). */
  riseStart: 3,
  lossStart: 0.25,
  /** Mats of silicone and wire hand their heat on within a minute or two, and a probe in wet wool is as slow. */
  lagStartH: 0.03,
  iterations: 40,
  /** The room, lamp and all, goes by straight lines over so many hours, each of which takes it so far, K. */
  knotH: 1,
  wanderK: 0.6,
  /** A reading is true to so much beside the model's, K: it does not know when in five minutes a mat went on. */
  readingK: 0.02,
  /** Readings that a fit rests on, h; and so many times that the mat went on or off. */
  leastH: 12,
  mostH: 30,
  leastSwitches: 6,
  /** Heat capacity of a usual mat, J/m2K (about 3 kg of silicone and wire), and of tray and lid's plastic, J/gK. */
  matJM2K: 4_000,
  plasticJGK: 1.5,
  /** An empty tray of 10 by 20 inches, g and m2 (common practice). */
  trayG: 180,
  trayM2: 0.129,
  /** What the tray is made of is known to so much of its heat capacity, share. */
  capacityShare: 0.009,
} as const;
