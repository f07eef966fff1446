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
  return farad < 1e-6
    ? `${Math.round(farad * 1e9)} nF`
    : `${Number((farad * 1e6).toPrecision(3))} µF`;
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
      substitutes: 'any of the same value, 2 % or better, 0.125 W or more',
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

/**
 * A P-channel switch in the rail, drain and source as the netlist has them. Its gate is pulled to ground's side by
 * a resistor, so that a plain 10 V part is fully on at either rail.
 */
export function railSwitch(ref: string, block: Block): Part {
  return part(
    ref,
    block,
    'power-board',
    'P-channel 60 V',
    {
      kind: 'mosfet',
      channel: 'p',
      drainSourceV: 60,
      gateSourceMaxV: 20,
      onOhm: 0.03,
      onAtGateV: 10,
      hotFactor: 1.7,
      thresholdMinV: 1,
      thresholdPerK: 0,
      gateLeakageA: 100e-9,
      thermalKPerW: 62,
      junctionMaxC: 175,
    },
    { G: 'input', D: 'passive', S: 'passive' },
    {
      what: 'P-channel MOSFET, 60 V, 30 mΩ or less at 10 V gate, TO-220',
      substitutes: 'any P-channel of 55 V or more and 40 mΩ or less',
    },
  );
}

/** Keeps such a switch's gate within what it bears. */
export function gateZener(ref: string, block: Block): Part {
  return part(
    ref,
    block,
    'power-board',
    '12 V zener',
    { kind: 'diode', style: 'zener', reverseV: 11.4, clampV: 12.7, ratedA: 0.04, forwardV: 0.9 },
    { A: 'passive', K: 'passive' },
    {
      what: 'Zener diode 12 V, 0.5 W',
      substitutes: '10 to 15 V, 0.4 W or more',
    },
  );
}

/** A small NPN transistor on the power board. */
export function smallNpn(ref: string, block: Block): Part {
  return part(
    ref,
    block,
    'power-board',
    'NPN',
    { kind: 'bipolar', collectorV: 40, collectorA: 0.2, gainMin: 60, saturationV: 0.3 },
    { B: 'input', C: 'passive', E: 'passive' },
    {
      what: 'NPN transistor, 40 V, 200 mA, gain 60 or more, TO-92',
      substitutes: 'any small-signal NPN of 40 V and 100 mA; mind the order of its legs',
    },
  );
}

/** A small silicon diode on the power board. */
export function signalDiode(ref: string, block: Block): Part {
  return part(
    ref,
    block,
    'power-board',
    'signal diode',
    { kind: 'diode', style: 'silicon', reverseV: 75, ratedA: 0.15, forwardV: 1 },
    { A: 'passive', K: 'passive' },
    SIGNAL_DIODE_BOUGHT,
  );
}

/** One line of the purchase list: at the sounder, at the second switch and at the probes. */
export const SIGNAL_DIODE_BOUGHT: Purchase = {
  what: 'Switching diode 75 V, 150 mA',
  substitutes: 'any small silicon diode that leaks 25 nA or less at 20 V; no Schottky diode',
};
