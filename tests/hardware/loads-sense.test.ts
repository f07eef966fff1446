/** The one line that tells of mat and pump: simulated with the netlist's parts, and reckoned at its worst. */
import { describe, expect, test } from 'vitest';
import {
  type BesideMat,
  MAT_CASES,
  type MatCase,
  narrowestGap,
  pinFaultA,
  ratioRanges,
  stuckCodes,
} from '../../hardware/budget/loads-sense';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import { boardPin } from '../../hardware/circuit/controller';
import type { PinRef } from '../../hardware/circuit/kinds';
import { RAIL, SENSE } from '../../hardware/circuit/limits';
import { type LookAt, type SimulatedLook, simulateLooks } from '../../hardware/faults/looks';
import type { Fault } from '../../hardware/faults/single';
import { haveSimulator, MISSING } from '../../hardware/spice/run';
import { loadNodes, type MatPath } from '../../shared/board/loads';
import { LOADS_SENSE, loadsSenseCode } from '../../shared/board/map';

const have = haveSimulator();

test('the circuit simulator is here, or its absence is said loudly', () => {
  if (!have) console.warn(`\n*** ${MISSING} ***\n`);
});

const BESIDE: BesideMat = {
  freewheelLeakageA: SENSE.freewheelLeakageA.silicon,
  diodeV: 1.1,
  switchOnV: 0.15,
};
const RANGES = ratioRanges(LOADS_SENSE, BESIDE);

const open = (pin: PinRef): Fault => ({ kind: 'pin-open', pin });
const shorted = (a: PinRef, b: PinRef): Fault => ({ kind: 'pins-shorted', pins: [a, b] });
const broken = (from: PinRef, to: PinRef): Fault => {
  const wire = CIRCUIT.wires.find((one) => one.from === from && one.to === to);
  return { kind: 'wire-open', wire: wire?.id ?? '' };
};

/** What can have happened, as the simulator does it, and what it must look like. */
const HAPPENED: readonly (readonly [string, MatCase, Fault | null])[] = [
  ['a sound mat', 'sound', null],
  ['a welded first switch', 'welded', shorted('Q1.D', 'Q1.S')],
  ['a gate shorted to the feed', 'welded', shorted('Q1.G', 'Q1.D')],
  ['a lead pinched to ground', 'welded', shorted('R33.1', 'R33.2')],
  ['a cut-out that opened', 'lead-open', open('TC1.1')],
  ['a mat that broke', 'lead-open', open('HM1.1')],
  ['a wire off in the plug', 'lead-open', broken('J2.2', 'HM1.2')],
  ['a wire off at the board', 'lead-open', broken('X1.MAT+', 'J2.1')],
  ['a blown fuse', 'fuse-blown', open('F2.1')],
];
const NEVER_CLOSES: readonly (readonly [string, Fault])[] = [
  ['a switch open for ever', open('Q1.D')],
  ['a control wire off', broken(`A1.${boardPin('mat')}`, 'X1.MAT')],
];
const PATHS: Readonly<Record<MatCase, Omit<MatPath, 'switchClosed'>>> = {
  welded: { fuse: 'whole', lead: 'whole' },
  'lead-open': { fuse: 'whole', lead: 'open' },
  sound: { fuse: 'whole', lead: 'whole' },
  'fuse-blown': { fuse: 'blown', lead: 'whole' },
};

const LOOKS: readonly (readonly [string, LookAt])[] = [
  ['12 V and a mat of 3 A', { railV: 12, matOhm: 4, leakageA: 0 }],
  ['24 V and a mat of 3 A', { railV: 24, matOhm: 8, leakageA: 0 }],
  ['24 V and a contactor', { railV: 24, matOhm: SENSE.coilOhm, leakageA: 0 }],
  ['10.8 V, hot', { railV: RAIL.minV, matOhm: 4, leakageA: SENSE.freewheelLeakageA.silicon }],
  ['26.4 V, hot', { railV: RAIL.maxV, matOhm: 9, leakageA: SENSE.freewheelLeakageA.silicon }],
];

/** A mat of some ohms, and a switch of some milliohms, are wires to the firmware. */
const CODES_AGREE = 0.03;

const ratioOf = ({ openCode, closedCode }: SimulatedLook): number => openCode / closedCode;

describe.skipIf(!have)('the sense line, simulated', () => {
  describe.each(LOOKS)('at %s', (_, at) => {
    const looks = simulateLooks(
      CIRCUIT,
      HAPPENED.map(([, , fault]) => fault),
      at,
    );

    test.each(HAPPENED.map(([words, one], i) => [words, one, i] as const))(
      '%s looks like the case "%s"',
      (_words, one, i) => {
        const look = looks[i];
        if (look === undefined) throw new Error('not simulated');
        expect(ratioOf(look)).toBeGreaterThan(RANGES[one].min);
        expect(ratioOf(look)).toBeLessThan(RANGES[one].max);
      },
    );

    test(`gives the codes that the firmware reckons with, within ${CODES_AGREE * 100} %`, () => {
      HAPPENED.forEach(([words, one], i) => {
        const look = looks[i];
        // With its gate on its drain a switch is a diode of a volt or two: welded, but no wire.
        if (look === undefined || words.includes('gate')) return;
        const leakageA = one === 'lead-open' ? at.leakageA : 0;
        const codeOf = (feedV: number, switchClosed: boolean): number =>
          loadsSenseCode(loadNodes(feedV, { ...PATHS[one], switchClosed }, LOADS_SENSE, leakageA));
        const openOff = look.openCode / codeOf(look.openFeedV, one === 'welded') - 1;
        const closedOff = look.closedCode / codeOf(look.closedFeedV, true) - 1;
        expect(Math.max(Math.abs(openOff), Math.abs(closedOff)), words).toBeLessThan(CODES_AGREE);
      });
    });
  });

  test('tells a switch that never closes by its code, which no welded one reaches', () => {
    const [welded] = simulateLooks(CIRCUIT, [shorted('Q1.D', 'Q1.S')], {
      railV: RAIL.maxV,
      matOhm: 9,
      leakageA: 0,
    });
    const never = simulateLooks(
      CIRCUIT,
      NEVER_CLOSES.map(([, fault]) => fault),
      {
        railV: RAIL.minV,
        matOhm: 4,
        leakageA: 0,
      },
    );
    for (const look of never) {
      expect(ratioOf(look)).toBeCloseTo(1, 2);
      expect(look.openCode).toBeGreaterThan(1.2 * (welded?.openCode ?? Number.NaN));
    }
  });
});

describe('the sense line at its worst', () => {
  test('keeps its cases apart with resistors of 2 %, and not with a Schottky diode beside the mat', () => {
    expect(narrowestGap(RANGES).gap).toBeGreaterThan(1.15);
    const leaky = { ...BESIDE, freewheelLeakageA: SENSE.freewheelLeakageA.schottky };
    expect(narrowestGap(ratioRanges(LOADS_SENSE, leaky)).gap).toBeLessThan(1);
  });

  test('would not keep them apart with three equal weights', () => {
    const equal = { ...LOADS_SENSE, matSupplyOhm: 100_000, matLowOhm: 100_000 };
    expect(narrowestGap(ratioRanges(equal, BESIDE)).gap).toBeLessThan(1.1);
  });

  test('has the ratios that the firmware reckons with inside its ranges', () => {
    const nominal = Object.fromEntries(
      MAT_CASES.map((one) => {
        const code = (switchClosed: boolean): number =>
          loadsSenseCode(loadNodes(24, { ...PATHS[one], switchClosed }));
        return [one, code(one === 'welded') / code(true)];
      }),
    );
    for (const one of MAT_CASES) {
      expect(nominal[one], one).toBeGreaterThan(RANGES[one].min);
      expect(nominal[one], one).toBeLessThan(RANGES[one].max);
    }
  });

  test('tells a welded switch from one that never closes, and spares its pin', () => {
    const { neverClosesMin, weldedMax } = stuckCodes(LOADS_SENSE);
    expect(neverClosesMin / weldedMax).toBeGreaterThan(1.05);
    expect(pinFaultA(LOADS_SENSE)).toBeLessThan(0.5e-3);
    expect(pinFaultA({ ...LOADS_SENSE, seriesOhm: 100 })).toBeGreaterThan(0.1);
  });
});
