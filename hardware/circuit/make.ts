/** Short ways to write the parts that come in numbers. Ratings are those of the part to be bought. */
import type { Block, Part, Place, Purchase, Ratings } from './kinds';

interface Seat {
  readonly ref: string;
  readonly block: Block;
  readonly place: Place;
}

const seat = (ref: string, block: Block, place: Place): Seat => ({ ref, block, place });

/** 1000 as `1 k`, 4.7 as `4.7`, with the ohm sign. */
export function ohmText(ohm: number): string {
  return ohm >= 1000 ? `${ohm / 1000} kΩ` : `${ohm} Ω`;
}

/** 1e-7 as `100 nF`. */
export function faradText(farad: number): string {
  return farad < 1e-6 ? `${Math.round(farad * 1e9)} nF` : `${Math.round(farad * 1e6)} µF`;
}

/** A 1 % metal film resistor, 0.25 W, 100 ppm/K. */
export function resistor(ref: string, block: Block, place: Place, ohm: number): Part {
  return {
    ...seat(ref, block, place),
    value: ohmText(ohm),
    ratings: { kind: 'resistor', ohm, tolerance: 0.01, powerW: 0.25, tempcoPerK: 100e-6 },
    pins: { 1: 'passive', 2: 'passive' },
    purchase: {
      what: `Resistor ${ohmText(ohm)} 1 %, 0.25 W, metal film`,
      substitutes: 'any of the same value, 5 % or better, 0.125 W or more',
    },
  };
}

/** The resistor a probe is compared with: its error is the probe's error. */
export function referenceResistor(ref: string, place: Place, ohm: number): Part {
  return {
    ...seat(ref, 'probes', place),
    value: `${ohmText(ohm)} 0.1 %`,
    ratings: { kind: 'resistor', ohm, tolerance: 0.001, powerW: 0.125, tempcoPerK: 25e-6 },
    pins: { 1: 'passive', 2: 'passive' },
    purchase: {
      what: `Resistor ${ohmText(ohm)} 0.1 %, 25 ppm/K, 0.125 W, metal film`,
      substitutes:
        'none at 1 %: the probe would be up to 0.3 K off; 0.05 % or 15 ppm/K are welcome',
    },
  };
}

export function capacitor(
  ref: string,
  block: Block,
  place: Place,
  farad: number,
  ratedV: number,
  dielectric: 'X7R ceramic' | 'electrolytic',
): Part {
  const polar = dielectric === 'electrolytic';
  return {
    ...seat(ref, block, place),
    value: faradText(farad),
    ratings: { kind: 'capacitor', farad, ratedV, dielectric },
    pins: polar ? { '+': 'passive', '-': 'passive' } : { 1: 'passive', 2: 'passive' },
    purchase: {
      what: `Capacitor ${faradText(farad)}, ${ratedV} V, ${dielectric}`,
      substitutes: polar
        ? 'any of 105 C grade, the same or more µF and V'
        : 'film of the same value',
    },
  };
}

export function testPoint(ref: string, block: Block, place: Place, value: string): Part {
  return {
    ...seat(ref, block, place),
    value,
    ratings: { kind: 'test-point' },
    pins: { 1: 'passive' },
    purchase: { what: 'Test pin, 1 mm, for a meter clip', substitutes: 'a loop of bare wire' },
  };
}

/** Any other part, spelled out. */
export function part(
  ref: string,
  block: Block,
  place: Place,
  value: string,
  ratings: Ratings,
  pins: Part['pins'],
  purchase: Purchase,
): Part {
  return { ...seat(ref, block, place), value, ratings, pins, purchase };
}

/** One line of the purchase list: at the sounder and at the probes. */
export const SIGNAL_DIODE_BOUGHT: Purchase = {
  what: 'Switching diode 75 V, 150 mA',
  substitutes: 'any small silicon diode that leaks 25 nA or less at 20 V; no Schottky diode',
};
