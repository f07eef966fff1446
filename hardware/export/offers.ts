/**
 * What a line of the purchase list is likely to cost, and a number to search for. Both from memory, but for what stands
 * beside an entry: the price is an estimate for single pieces without shipping, the number a part that fits, and its own
 * data sheet decides. A line without a number has none of which that was sure: its words say what its sheet must state.
 */

/** When the prices were estimated. */
export const ESTIMATED = '2026-11';

export interface Offer {
  /** For one piece, or one metre of wire. */
  readonly euro: number;
  readonly example?: string;
}

/** By the first reference of a line. Resistors without an entry cost the same. */
const OFFERS: Readonly<Record<string, Offer>> = {
  A1: { euro: 6, example: 'Raspberry Pi Pico H (with headers)' },
  // 8 to 42 V, 1 A, within 3 %: its data sheet, 2019. Without a screw to set it.
  A2: {
    euro: 8,
    example: 'R-78C5.0-1.0 on a piece of strip board with its capacitors and terminals',
  },
  A3: { euro: 4, example: 'module with HX711' },
  C1: { euro: 0.8, example: 'EEUFC1H471' },
  C3: { euro: 0.2, example: 'C322C104K5R5TA' },
  C6: { euro: 0.2 },
  C8: { euro: 0.5 },
  D1: { euro: 0.3, example: 'UF5402' },
  D3: { euro: 0.05, example: '1N4148' },
  D4: { euro: 0.1, example: 'BZX55C12' },
  D5: { euro: 0.6, example: 'P6KE33A' },
  D6: { euro: 0.2, example: '1N5819' },
  D11: { euro: 0.6, example: 'P6KE6.8A' },
  F1: { euro: 5, example: 'Littelfuse ATOF 287, 7.5 A' },
  F2: { euro: 2.5, example: 'Littelfuse ATOF 287, 4 A; holder 178.6165' },
  F3: { euro: 2.5, example: 'Littelfuse ATOF 287, 2 A; holder 178.6165' },
  F4: { euro: 0.6, example: 'MF-R050' },
  HM1: { euro: 35 },
  // Series; the insert I of the smallest takes cables of 4 to 6.5 mm (looked up), the others' from memory.
  J1: { euro: 6, example: 'Weipu SP21, 2 poles: pins in the wall, sockets on the lead' },
  J2: { euro: 7, example: 'Weipu SP13, 2 poles, insert I: sockets in the wall' },
  J3: { euro: 7, example: 'Weipu SP17, 2 poles: sockets in the wall' },
  J8: { euro: 0.3 },
  LC1: {
    euro: 25,
    example:
      'Tedea-Huntleigh 1022, class C3, in the capacity of the table (dearer than the estimate)',
  },
  LS1: { euro: 2 },
  M1: { euro: 15, example: 'Adafruit 1150 (12 V)' },
  Q1: { euro: 2, example: 'IRF7470' },
  Q3: { euro: 0.1, example: '2N3904' },
  Q4: { euro: 2.5, example: 'FQP47P06' },
  R7: { euro: 0.6, example: 'YR1B10KCC' },
  TC1: { euro: 3 },
  // The curve of that element: 3976 K by its table, 0.2 °C from 0 to 70 °C (looked up).
  TH1: { euro: 8, example: 'a probe with an element 10K3A1B' },
  TH2: { euro: 7, example: 'a ring tag with an element 10K3A1B' },
  TP1: { euro: 0.2, example: 'Keystone 5001' },
  X1: { euro: 8, example: 'MKDS 1,5/ 2-5,08 and its kin' },
  X2: { euro: 8, example: 'MKDS 1,5/ 2-5,08 and its kin' },
};

const RESISTOR: Offer = { euro: 0.1 };

/** What a part costs; throws for one that nobody has estimated. */
export function offerFor(ref: string): Offer {
  const known = OFFERS[ref] ?? (ref.startsWith('R') ? RESISTOR : undefined);
  if (known === undefined) throw new Error(`${ref} has no estimate of its price`);
  return known;
}

/** Euro for a metre of sheathed cable of two cores that bears 90 °C. */
export const CABLE_EURO = 2;

/** Euro for a metre of stranded wire of so many square millimetres. */
export const wireEuro = (mm2: number): number => Math.round((0.25 + 0.5 * mm2) * 100) / 100;
