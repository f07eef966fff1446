/** Light for plants: intensity, hours and the sum of a day; and what a lux meter says of it under each lamp. */
import { accept, decline, type Verdict } from './verdict';

/** Above what any of this can be: a slip of the unit. */
export const LIGHT_LIMITS = {
  /** Full sun gives 2,000 (Thimijan and Heins 1983); leaves within a hand of a lamp for crops may get more. */
  ppfdMostUmol: 3_000,
  /** The longest, clearest days on earth give about 60 (from memory: Korczynski et al. 2002). */
  sumMostMol: 70,
  hoursMost: 24,
  /** The brightest sun is 108,000 lux by the table below; snow and cloud edges add to it. */
  lightMostLux: 200_000,
} as const;

/** 3,600 s in an hour, 1,000,000 umol in a mol. */
const MOL_PER_UMOL_H = 0.0036;

/** Light that falls on a square metre in a day, mol, at a steady `ppfdUmol` (umol/m2/s) for `hours`. */
export const lightSumMol = (ppfdUmol: number, hours: number): number =>
  ppfdUmol * hours * MOL_PER_UMOL_H;

/** Steady light, umol/m2/s, that gives `sumMol` (mol/m2) in `hours` a day. Refuses more than a plant's light can be. */
export function ppfdForSum(sumMol: number, hours: number): Verdict<number> {
  const ppfdUmol = sumMol / (hours * MOL_PER_UMOL_H);
  if (ppfdUmol <= LIGHT_LIMITS.ppfdMostUmol) return accept(ppfdUmol);
  return decline(
    `In so few hours that takes more than ${LIGHT_LIMITS.ppfdMostUmol} umol/m2/s, which is more than full sun.`,
  );
}

/** Hours a day that `ppfdUmol` must shine to give `sumMol`. Refuses where a whole day is not enough. */
export function hoursForSum(sumMol: number, ppfdUmol: number): Verdict<number> {
  const hours = sumMol / (ppfdUmol * MOL_PER_UMOL_H);
  if (hours <= LIGHT_LIMITS.hoursMost) return accept(hours);
  const most = lightSumMol(ppfdUmol, LIGHT_LIMITS.hoursMost);
  return decline(
    `Even 24 hours of that light give only ${Number(most.toPrecision(2))} mol/m2/d. It takes a stronger lamp, or one that hangs lower.`,
  );
}

/** What a lamp's light is worth to a plant for each lux that a meter for the eye shows. */
export interface LampLight {
  readonly name: string;
  readonly luxPerUmol: number;
  /** Good to this share of the value, as lamps of one kind differ. */
  readonly errorShare: number;
  readonly source: string;
}

const THIMIJAN =
  'Thimijan and Heins 1983, HortScience 18:818, as reprinted by makers of light meters';
const METER_TABLE = 'a light meter maker’s table of lamps measured with a spectroradiometer';
/** Lamps of one kind differ by maker, age and fixture; meters themselves by some per cent (common practice). */
const LAMP_ERROR = 0.15;

const lamp = (name: string, luxPerUmol: number, source: string, errorShare = LAMP_ERROR) =>
  ({ name, luxPerUmol, source, errorShare }) satisfies LampLight;

/** By the word a grower types. Light of red and blue diodes alone is not here: a meter for the eye hardly sees it. */
export const LAMPS = {
  sun: lamp('sunlight', 54, THIMIJAN, 0.1),
  sky: lamp('light of the blue sky, without sun', 52, THIMIJAN),
  fluorescent: lamp('cool white fluorescent tubes', 74, THIMIJAN),
  sodium: lamp('high-pressure sodium lamps', 82, THIMIJAN),
  'metal-halide': lamp('metal halide lamps', 71, THIMIJAN),
  'ceramic-4200k': lamp('ceramic metal halide lamps of 4200 K', 65, METER_TABLE),
  'ceramic-3100k': lamp('ceramic metal halide lamps of 3100 K', 59, METER_TABLE),
  incandescent: lamp('incandescent or halogen lamps', 50, THIMIJAN),
  // 55 to 75 by colour temperature and colour rendering: the middle, and half the range.
  'white-led': lamp('white LEDs', 65, 'common practice: 55 to 75 by colour', LAMP_ERROR),
} as const;
export type LampName = keyof typeof LAMPS;
export const LAMP_NAMES = Object.keys(LAMPS) as readonly LampName[];

/** PPFD, umol/m2/s, of light that a meter for the eye reads as `lux`; and what it is at least and at most. */
export function ppfdOfLux(lux: number, { luxPerUmol, errorShare }: LampLight) {
  const ppfdUmol = lux / luxPerUmol;
  return {
    ppfdUmol,
    leastUmol: ppfdUmol * (1 - errorShare),
    mostUmol: ppfdUmol * (1 + errorShare),
  };
}

/** What a meter for the eye reads in light of `ppfdUmol`. */
export const luxOfPpfd = (ppfdUmol: number, { luxPerUmol }: LampLight): number =>
  ppfdUmol * luxPerUmol;
