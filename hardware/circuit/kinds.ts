/**
 * The words the circuit is written in: parts, pins, nets, wires. Plain data; the circuit itself is
 * in the block files beside this one, the rules it must keep are in `../checks/`.
 */

/**
 * Where a part is mounted. Parts in one place are joined by its copper; between places run the wires
 * of `wires.ts`. `mat`, `tray`, `reservoir` and `under-tray` are outside the enclosure.
 */
export const PLACES = {
  'power-board': 'power board (strip board)',
  'signal-board': 'signal board (strip board)',
  controller: 'controller board',
  'five-volt': '5 V converter module',
  'bridge-module': 'bridge converter module',
  panel: 'enclosure wall',
  lead: 'in the lead, inside the enclosure',
  mat: 'at the heat mat',
  reservoir: 'at the pump',
  tray: 'in the tray',
  'under-tray': 'under the tray',
} as const;
export type Place = keyof typeof PLACES;

/** Places that electronics share; a limiter worth its name is in none of them. */
export const ELECTRONICS_PLACES: readonly Place[] = [
  'power-board',
  'signal-board',
  'controller',
  'five-volt',
  'bridge-module',
];

/** Outside the enclosure: what goes there is a sheathed lead. */
export const OUTSIDE_PLACES: readonly Place[] = ['mat', 'reservoir', 'tray', 'under-tray'];

/** The drawings a part can be on: one schematic sheet for each block. */
export const BLOCKS = {
  supply: 'Supply: 12 or 24 V in, fuses, 5 V',
  controller: 'Controller board and service header',
  feed: 'Second switch of the mat, and the sense line',
  arm: 'Second switch of the pump',
  mat: 'Mat output',
  pump: 'Pump output',
  sounder: 'Sounder',
  probes: 'Probes',
  scale: 'Scale',
} as const;
export type Block = keyof typeof BLOCKS;

/**
 * What a pin is to its net. `source` supplies power; `sink` takes it; `ground` is a return; `output`
 * and `input` are logic; `analog` is an ADC or bridge input; `passive` lets current through the part.
 */
export type PinRole = 'source' | 'sink' | 'ground' | 'output' | 'input' | 'analog' | 'passive';

export type Pins = Readonly<Record<string, PinRole>>;

/** Electrical data that the checks and budgets use. One shape per kind of part. */
export type Ratings =
  | {
      readonly kind: 'resistor';
      readonly ohm: number;
      readonly tolerance: number;
      readonly powerW: number;
      readonly tempcoPerK: number;
    }
  | {
      readonly kind: 'capacitor';
      readonly farad: number;
      readonly ratedV: number;
      readonly dielectric: string;
    }
  | {
      readonly kind: 'diode';
      readonly style: 'schottky' | 'silicon' | 'zener' | 'suppressor';
      /** Repetitive reverse voltage; for zener and suppressor the lowest breakdown voltage. */
      readonly reverseV: number;
      /** Highest voltage at which it still lets through less than 1 A, for zener and suppressor. */
      readonly clampV?: number;
      readonly ratedA: number;
      readonly forwardV: number;
    }
  | {
      readonly kind: 'mosfet';
      readonly channel: 'n' | 'p';
      readonly drainSourceV: number;
      readonly gateSourceMaxV: number;
      /** Largest on-resistance at 25 C and the gate voltage at which the data sheet states it. */
      readonly onOhm: number;
      readonly onAtGateV: number;
      /** On-resistance at 125 C as a multiple of that at 25 C. */
      readonly hotFactor: number;
      /** Lowest gate threshold at 25 C, and its change with temperature. */
      readonly thresholdMinV: number;
      readonly thresholdPerK: number;
      readonly gateLeakageA: number;
      /** Junction to air as mounted here. */
      readonly thermalKPerW: number;
      readonly junctionMaxC: number;
    }
  | {
      readonly kind: 'bipolar';
      readonly collectorV: number;
      readonly collectorA: number;
      readonly gainMin: number;
      readonly saturationV: number;
    }
  | {
      readonly kind: 'fuse';
      readonly style: 'blade' | 'resettable';
      readonly ratedA: number;
      readonly ratedV: number;
    }
  | {
      readonly kind: 'cut-out';
      readonly opensC: number;
      readonly toleranceK: number;
      /** It may be kept at this for ever, at its rated current, and stays closed (IEC 60691: holding temperature). */
      readonly holdsC: number;
      readonly resets: 'by-hand' | 'never' | 'by-itself';
      /** For direct current: most are stated for alternating current alone. */
      readonly ratedA: number;
      readonly ratedV: number;
    }
  | {
      readonly kind: 'thermistor';
      readonly ohmAt25C: number;
      readonly tolerance: number;
      readonly b: number;
      readonly bTolerance: number;
      /** In wet wool, in its sheath. */
      readonly dissipationMwPerK: number;
    }
  | { readonly kind: 'load-cell'; readonly bridgeOhm: number }
  | {
      readonly kind: 'connector';
      /** Two connectors of one family fit into each other. */
      readonly family: string;
      readonly ratedA: number;
      readonly ratedV: number;
    }
  | {
      readonly kind: 'load';
      readonly ratedA: number;
      readonly peakA: number;
      readonly inductive: boolean;
    }
  | { readonly kind: 'lamp'; readonly ratedA: number; readonly forwardV: number }
  | { readonly kind: 'test-point' }
  | { readonly kind: 'module' };

export type PartKind = Ratings['kind'];
export type RatingsOf<K extends PartKind> = Extract<Ratings, { kind: K }>;

/** What the purchase list says. Generic: no maker, no shop. */
export interface Purchase {
  /** What to ask for: value, ratings, package. */
  readonly what: string;
  /** What else will do. */
  readonly substitutes: string;
}

export interface Part {
  /** Reference, such as `R3`: letter by kind, number unique. */
  readonly ref: string;
  /** What is printed beside the symbol. */
  readonly value: string;
  readonly block: Block;
  readonly place: Place;
  readonly ratings: Ratings;
  readonly pins: Pins;
  readonly purchase: Purchase;
}

/** A pin of a part, such as `R3.1`. */
export type PinRef = `${string}.${string}`;

/**
 * What a net is used for; sets which checks apply. `feed` carries load current at the rail voltage,
 * `switched` is the low side of a load, `quiet-ground` is the ADC's and bridge's own return.
 */
export type NetUse =
  | 'feed'
  | 'switched'
  | 'five-volt'
  | 'logic-supply'
  | 'reference'
  | 'ground'
  | 'quiet-ground'
  | 'gate'
  | 'logic'
  | 'sense';

export interface Net {
  readonly name: string;
  readonly use: NetUse;
  readonly pins: readonly PinRef[];
}

/** A wire or cable core between two places. `gauge` is the copper's cross-section. */
export interface Wire {
  readonly id: string;
  readonly net: string;
  readonly from: PinRef;
  readonly to: PinRef;
  readonly colour: Colour;
  readonly mm2: WireMm2;
}

/** Colours by their IEC 60757 letters, since drawings are printed in black and white. */
export const COLOURS = {
  RD: 'red',
  BK: 'black',
  OG: 'orange',
  YE: 'yellow',
  WH: 'white',
  BU: 'blue',
  GY: 'grey',
  VT: 'violet',
  BN: 'brown',
  GN: 'green',
  PK: 'pink',
} as const;
export type Colour = keyof typeof COLOURS;

/**
 * Copper sections used, with what they may carry and the American size that is no thinner. Currents:
 * flexible cords, IEC 60335-1 table 11 (0.5 mm2: 3 A, 0.75: 6 A, 1.0: 10 A; from memory); below
 * 0.5 mm2 4 A/mm2, common practice.
 */
export const WIRE_SIZES = {
  0.14: { mayCarryA: 0.5, awg: 24 },
  0.25: { mayCarryA: 1, awg: 22 },
  0.5: { mayCarryA: 3, awg: 20 },
  0.75: { mayCarryA: 6, awg: 18 },
  1: { mayCarryA: 10, awg: 16 },
} as const;
export type WireMm2 = keyof typeof WIRE_SIZES;

export interface Circuit {
  readonly parts: readonly Part[];
  readonly nets: readonly Net[];
  readonly wires: readonly Wire[];
}
