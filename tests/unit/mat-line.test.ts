/** What a look at the mat's line tells, on a circuit that is solved here by itself, at its tolerances. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type MatLine, matLineOf } from '../../firmware/sensing/mat-line';
import { MAT_CASES, ratioRanges, stuckCodes } from '../../hardware/budget/loads-sense';
import { beside } from '../../hardware/checks/loads-sense';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import { ADC_FULL_SCALE, ADC_REFERENCE_V, LOADS_SENSE } from '../../shared/board/map';
import { holds } from '../properties';

/** What is no connection, and what is one, ohm. */
const OPEN_OHM = 1e12;
const FUSE_OHM = 0.05;
const SWITCH_OHM = 0.03;
/** A mains mat behind a contactor has the coil's. */
const MAT_OHM = { min: 4, max: 240 };
const TOLERANCE = 0.01;
const SAG = 0.05;
/** RP2040 data sheet, ADC: offset and non-linearity together stay below this, LSB. */
const OFF_CODES = 5;

const RESISTORS = [
  'matSupplyOhm',
  'matFeedOhm',
  'matLowOhm',
  'pumpFeedOhm',
  'pumpRestOhm',
  'seriesOhm',
  'groundOhm',
  'matLowUpOhm',
  'matLowDownOhm',
] as const;
type Ohms = Readonly<Record<(typeof RESISTORS)[number] | 'padPullOhm', number>>;
/** The pin's own pull-down (RP2040 data sheet). */
const PAD_PULL_OHM = { min: 50_000, max: 80_000 };

interface Path {
  readonly fuseOhm: number;
  readonly leadOhm: number;
  readonly switchOhm: number;
}

/** Solves `rows`, each of coefficients and what they add up to, by elimination. */
function solved(rows: readonly (readonly number[])[]): number[] {
  const left = rows.map((row) => [...row]);
  const at = (row: number, column: number): number => left[row]?.[column] ?? Number.NaN;
  const size = left.length;
  for (let pivot = 0; pivot < size; pivot++) {
    for (let row = 0; row < size; row++) {
      if (row === pivot) continue;
      const share = at(row, pivot) / at(pivot, pivot);
      left[row] = (left[row] ?? []).map((value, column) => value - share * at(pivot, column));
    }
  }
  return left.map((_, row) => at(row, size) / at(row, row));
}

/** ADC code by Kirchhoff's current law at fuse, drain and sum; the pump is not fed. */
function codeOf(feedV: number, ohms: Ohms, { fuseOhm, leadOhm, switchOhm }: Path): number {
  const belowPinOhm = 1 / (1 / ohms.groundOhm + 1 / ohms.padPullOhm);
  const downOhm = ohms.seriesOhm + belowPinOhm;
  const [, , sumV = Number.NaN] = solved([
    [
      1 / fuseOhm + 1 / leadOhm + 1 / ohms.matFeedOhm,
      -1 / leadOhm,
      -1 / ohms.matFeedOhm,
      feedV / fuseOhm,
    ],
    [
      -1 / leadOhm,
      1 / leadOhm +
        1 / switchOhm +
        1 / ohms.matLowUpOhm +
        1 / ohms.matLowDownOhm +
        1 / ohms.matLowOhm,
      -1 / ohms.matLowOhm,
      feedV / ohms.matLowUpOhm,
    ],
    [
      -1 / ohms.matFeedOhm,
      -1 / ohms.matLowOhm,
      1 / ohms.matFeedOhm +
        1 / ohms.matLowOhm +
        1 / ohms.matSupplyOhm +
        1 / (ohms.pumpFeedOhm + ohms.pumpRestOhm) +
        1 / downOhm,
      feedV / ohms.matSupplyOhm,
    ],
  ]);
  return (ADC_FULL_SCALE * sumV * belowPinOhm) / (downOhm * ADC_REFERENCE_V);
}

const ofResistors = (ohm: (name: (typeof RESISTORS)[number], i: number) => number) =>
  Object.fromEntries(RESISTORS.map((name, i) => [name, ohm(name, i)])) as Record<
    (typeof RESISTORS)[number],
    number
  >;

const anyShare = fc.double({ min: -1, max: 1, noNaN: true });
const anyOhms: fc.Arbitrary<Ohms> = fc
  .tuple(fc.tuple(...RESISTORS.map(() => anyShare)), fc.double({ ...PAD_PULL_OHM, noNaN: true }))
  .map(([off, padPullOhm]) => ({
    ...ofResistors((name, i) => LOADS_SENSE[name] * (1 + TOLERANCE * (off[i] ?? 0))),
    padPullOhm,
  }));
const anyCircuit = fc.record({
  ohms: anyOhms,
  supplyV: fc.double({ min: 10.8, max: 26.4, noNaN: true }),
  sags: fc.tuple(
    fc.double({ min: 0, max: SAG, noNaN: true }),
    fc.double({ min: 0, max: SAG, noNaN: true }),
  ),
  matOhm: fc.double({ ...MAT_OHM, noNaN: true }),
  offCodes: anyShare.map((share) => OFF_CODES * share),
});

/** How each stands: fuse and lead whole or not, and what its switch does when told to open and to close. */
const CASES: readonly (readonly [
  MatLine,
  fuse: boolean,
  lead: boolean,
  open: boolean,
  closed: boolean,
])[] = [
  ['sound', true, true, false, true],
  ['lead-open', true, false, false, true],
  ['fuse-blown', false, true, false, true],
  ['welded', true, true, true, true],
  ['switch-open', true, true, false, false],
];

describe("the mat's line", () => {
  it.each(CASES)(
    '%s is told so at every supply, with resistors of 1 % and a supply that sags by 5 %',
    (line, fuse, lead, open, closed) => {
      holds(
        fc.property(anyCircuit, ({ ohms, supplyV, sags, matOhm, offCodes }) => {
          const path = (isClosed: boolean): Path => ({
            fuseOhm: fuse ? FUSE_OHM : OPEN_OHM,
            leadOhm: lead ? matOhm : OPEN_OHM,
            switchOhm: isClosed ? SWITCH_OHM : OPEN_OHM,
          });
          const codes = [open, closed].map(
            (isClosed, i) =>
              codeOf(supplyV * (1 - (sags[i] ?? 0)), ohms, path(isClosed)) + offCodes,
          );
          const [openCode = Number.NaN, closedCode = Number.NaN] = codes;
          expect(matLineOf({ openCode, closedCode })).toBe(line);
        }),
      );
    },
  );

  it('is told rightly at the worst that the hardware reckons with', () => {
    const ranges = ratioRanges(LOADS_SENSE, beside(CIRCUIT));
    const { neverClosesMin, weldedMax } = stuckCodes(LOADS_SENSE);
    for (const line of MAT_CASES)
      for (const ratio of [ranges[line].min, ranges[line].max])
        expect(matLineOf({ openCode: ratio * weldedMax, closedCode: weldedMax })).toBe(line);
    for (const ratio of [ranges.welded.min, ranges.welded.max])
      expect(matLineOf({ openCode: ratio * neverClosesMin, closedCode: neverClosesMin })).toBe(
        'switch-open',
      );
  });

  it('that is welded is told so whatever else is wrong with it', () => {
    for (const [fuse, lead] of [
      [false, true],
      [true, false],
    ]) {
      const path: Path = {
        fuseOhm: fuse ? FUSE_OHM : OPEN_OHM,
        leadOhm: lead ? 6 : OPEN_OHM,
        switchOhm: SWITCH_OHM,
      };
      const code = codeOf(24, LOADS_SENSE, path);
      expect(matLineOf({ openCode: code, closedCode: code })).toBe('welded');
    }
  });

  it('is not told where the two readings fit nothing', () => {
    expect(matLineOf({ openCode: 500, closedCode: 1500 })).toBeNull();
    expect(matLineOf({ openCode: 3000, closedCode: 100 })).toBeNull();
    expect(matLineOf({ openCode: 0, closedCode: 0 })).toBeNull();
    expect(matLineOf({ openCode: Number.NaN, closedCode: 800 })).toBeNull();
  });
});
