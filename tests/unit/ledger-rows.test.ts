import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  FOUND_ANYHOW,
  type Ledger,
  STEP_KINDS,
  type Step,
  type StepKind,
} from '../../firmware/control/ledger';
import {
  bitsOf,
  keepLedger,
  keptLedger,
  type LedgerRows,
  lastCameBack,
  lastStep,
  toldAfterG,
} from '../../firmware/control/ledger-rows';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { holds } from '../properties';

const ROWS = WEIGHT_LIMITS.ledgerMax;
const rows = () => ({ stepsG: new Float64Array(ROWS).fill(7), stepKinds: new Uint8Array(ROWS) });

/** What is kept of a ledger of which `own` is surely water, in a boot that began at `runAtZeroMs` of run time. */
function kept(
  ledger: Ledger,
  runAtZeroMs = 0,
  { stepsG, stepKinds } = rows(),
  own: Ledger = [],
): LedgerRows {
  keepLedger(ledger, stepsG, stepKinds);
  const last = { ...lastStep(ledger, runAtZeroMs), ...lastCameBack(ledger) };
  return { stepsG, stepKinds, ownWater: bitsOf(ledger, own), ...last };
}

const anyStep = fc.record({
  kind: fc.constantFrom(...STEP_KINDS),
  stepG: fc.double({ min: -5_000, max: 5_000, noNaN: true }).filter((stepG) => stepG !== 0),
  afterG: fc.double({ min: 0, max: 9_000, noNaN: true }),
  atMs: fc.nat(),
});

const RUN_AT_ZERO_MS = 50_000;
const LATER_MS = 7_000_000;

describe('the ledger over a restart', () => {
  it('knows of a thing that it was found, wherever it stands in it', () => {
    const steps = [
      { kind: 'on', stepG: 933, afterG: Number.NaN, atMs: 0, found: FOUND_ANYHOW },
    ] as const;
    const lid = { kind: 'off', stepG: -350, afterG: 3_400, atMs: 7 } as const;
    for (const ledger of [steps, [...steps, lid]]) {
      expect(keptLedger(kept(ledger), 0)).toEqual(ledger);
    }
  });

  it('knows of what came with water that it ran off in part, and may go as a thing, wherever it stands in it', () => {
    const came = { kind: 'water', stepG: 919, flowed: true, ranOff: true } as const;
    const unknown = { ...came, afterG: Number.NaN, atMs: 0 };
    const lid = { kind: 'off', stepG: -350, afterG: 3_400, atMs: 7 } as const;
    for (const ledger of [[unknown], [unknown, lid]]) {
      expect(keptLedger(kept(ledger), 0)).toEqual(ledger);
    }
    // But not where a soaking has shown since that it was all water.
    const [own] = keptLedger(kept([unknown], 0, rows(), [unknown]), 0);
    expect(own).toMatchObject({ kind: 'water', flowed: true });
    expect(own?.ranOff).toBeUndefined();
  });

  it('knows of water that it was no thing, wherever it stands in it', () => {
    const lid = { kind: 'off', stepG: -350, afterG: Number.NaN, atMs: 0 } as const;
    const water = { kind: 'water', stepG: 700, afterG: Number.NaN, atMs: 0 } as const;
    const own = { ...water } as const;
    const full = [...Array(ROWS - 1).fill(water), own];
    for (const ledger of [[own], [own, lid], [lid, water, own, water], [water, own], full]) {
      const told = ledger.map((step) => (step === own ? { ...step, flowed: true } : step));
      expect(keptLedger(kept(ledger, 0, rows(), [own]), 0)).toEqual(told);
    }
  });

  it('knows of the last that came with what was off before what that weighed, wherever it stands in it', () => {
    const came = (stepG: number, paidG: number): Step => {
      return { kind: 'water', stepG, afterG: Number.NaN, atMs: 0, paidG };
    };
    const lid: Step = { kind: 'off', stepG: -350, afterG: 3_400, atMs: 7 };
    for (const ledger of [[came(297, 22)], [came(297, 22), lid]]) {
      expect(keptLedger(kept(ledger), 0)).toEqual(ledger);
    }
    const both = keptLedger(kept([came(120, 40), came(297, 22)]), 0);
    const paid = both.map((one) => one.paidG);
    expect(paid).toEqual([undefined, 22]);
  });

  it('has the same things and waters in the same order, and knows of the last alone when it came, and to what', () => {
    holds(
      fc.property(fc.array(anyStep, { minLength: 1, maxLength: ROWS }), (ledger) => {
        const told = ledger.map(({ kind, stepG }) => ({
          kind,
          stepG,
          afterG: Number.NaN,
          atMs: 0,
        }));
        const last = ledger.at(-1);
        const sinceMs = RUN_AT_ZERO_MS - LATER_MS;
        const lastTold = last && { ...last, atMs: last.atMs + sinceMs };
        const rowsKept = kept(ledger, RUN_AT_ZERO_MS);
        expect(keptLedger(rowsKept, LATER_MS)).toEqual([...told.slice(0, -1), lastTold]);
      }),
    );
  });

  it('tells after a time of unknown length only of what was poured to what weight it came', () => {
    const toldOf = (kind: StepKind, stepG: number): number => {
      const ledger: Ledger = [
        { kind: 'water', stepG: 90, afterG: 4_100, atMs: 0 },
        { kind, stepG, afterG: 4_400, atMs: 0 },
      ];
      return toldAfterG(kept(ledger));
    };
    expect(toldOf('water', 300)).toBe(4_400);
    expect(toldOf('water', -300)).toBeNaN();
    for (const kind of STEP_KINDS.filter((other) => other !== 'water')) {
      expect(toldOf(kind, 300)).toBeNaN();
    }
    expect(toldAfterG(kept([]))).toBeNaN();
  });

  it('keeps nothing of steps that were explained since', () => {
    const { stepsG, stepKinds } = rows();
    keepLedger([{ kind: 'on', stepG: 300, afterG: 4_300, atMs: 0 }], stepsG, stepKinds);
    expect(keptLedger(kept([], 0, { stepsG, stepKinds }), LATER_MS)).toEqual([]);
    expect([...stepsG, ...stepKinds].every((one) => one === 0)).toBe(true);
  });

  it('takes a kind that a newer firmware has given for a thing taken off', () => {
    const newer = { ...kept([]), stepsG: [-350], stepKinds: [STEP_KINDS.length] };
    expect(keptLedger(newer, 0)).toMatchObject([{ kind: 'off', stepG: -350 }]);
  });
});
