/** What a fitted mat goes by. Where no source is named: learnt on the bench, on even seeds of `npm run bench -- model`. */
import { MINUTE_MS } from '../../shared/units/time';
export const MODEL_LIMITS = {
  /** Where the search begins: a soaked tray on a usual mat, K/h and 1/h (time constant 4 h: `shared/physics/thermal.ts`). */
  riseStart: 3,
  lossStart: 0.25,
  /** Mats of silicone and wire hand their heat on within a minute or two, and a probe in wet wool is as slow. */
  lagStartH: 0.03,
  iterations: 40,
  /** What the surroundings cool goes by straight lines over so many hours, each of which takes it so far, K/h. */
  knotH: 1,
  wanderKPerH: 0.16,
  /** A reading is true to so much beside the model's, K: it does not know when in five minutes a mat went on. */
  readingK: 0.0228,
  /** Probes of one make read so much too warm or too cold, K: what surrounds a tray is told by one. */
  probeK: 0.115,
  /** A journal has a reading every five minutes. Readings that a fit rests on, h; and so many times that the mat went on or off. */
  readingsAnHour: 12,
  leastH: 12,
  mostH: 30,
  leastSwitches: 6,
  /** Heat capacity of a usual mat, J/m2K (about 3 kg of silicone and wire), and of tray and lid's plastic, J/gK. */
  matJM2K: 4_000,
  plasticJGK: 1.5,
  /** An empty tray of 10 by 20 inches, g and m2 (common practice). */
  trayG: 180,
  trayM2: 0.129,
  /**
   * Whatever the make (140 to 220 g of plastic, a mat of 3 to 5 kJ/m2K), the heat capacity is known to so much, share;
   * and what a mat gives to so much more, since its heat comes by and by.
   */
  capacityShare: 0.004,
  matShare: 0.006,
  /** An hour of the day is told by a stretch that has so much of it, share. */
  hourShare: 0.5,
  /** The newest stretches that tell of loss: each tells it to a tenth or two. */
  lossStretches: 4,
  /** An interval whose ends lie further apart than so many times says nothing that helps. */
  uselessTimes: 2,
  /**
   * Two soaks leave the same pieces with the same water to so much of it, share: on the bench up to a hundredth of it is
   * shaken off each time (`GROWTH_LIMITS.lessShare` of the firmware).
   */
  soakShare: 0.005,
  /** Days of drying that are told. */
  dryingDays: 7,
  /** A weight at the end of a day is true to so much, g: the zero follows the warmth of the platform, by up to 0.4 g/K (400 even seeds). */
  endG: 0.13,
  /** What a dose brought is weighed to so much, g; what dried while it soaked in is known to a share, a larger one where the lid comes and goes by day. */
  doseG: 0.08,
  soakInShare: 0.05,
  soakInByDayShare: 0.14,
  /** A dose during which nobody knows how fast it dried, and what a hand changed, are known to so much, g. */
  unknownDoseG: 0.8,
  handG: 0.1,
  /** A weight at an end is the mean of the readings round it, so many on either side; no dose or hand is so near to it, ms. */
  endReadings: 1,
  endClearMs: 30 * MINUTE_MS,
  /** A scale stands still for so long before a dose is weighed, ms. */
  settledMs: 35_000,
  /**
   * A closed lid lets out so much for each kPa that the wool's vapour is above the room's, which is taken for so much
   * everywhere, g/h and kPa; and that is known beforehand to so much, ln, in rooms of 13 to 24 C.
   */
  closedGHKpa: 0.055,
  roomKpa: 0.9,
  closedLn: 0.048,
  /** Doses that tell of the pump: one alone may be a draught; and older ones are of another tube. */
  dosesLeast: 5,
  dosesMost: 30,
  /** Of a dose so much runs past the wool into the drip tray and is not weighed, share. */
  pastShare: 0.006,
  /** What a dose scatters by, the least that it does, and what a tube wears by over those doses, ln; and what all doses are wrong by alike. */
  doseLn: 0.01,
  doseLeastLn: 0.001,
  wearLn: 0.1,
  flowLn: 0.005,
} as const;
