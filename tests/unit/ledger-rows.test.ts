import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { STEP_KINDS } from '../../firmware/control/ledger';
import { keepLedger, keptLedger } from '../../firmware/control/ledger-rows';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { holds } from '../properties';

const ROWS = WEIGHT_LIMITS.ledgerMax;
const rows = () => ({ stepsG: new Float64Array(ROWS).fill(7), stepKinds: new Uint8Array(ROWS) });

const anyStep = fc.record({
  kind: fc.constantFrom(...STEP_KINDS),
  stepG: fc.double({ min: -5_000, max: 5_000, noNaN: true }).filter((stepG) => stepG !== 0),
  afterG: fc.double({ min: 0, max: 9_000 }),
  atMs: fc.nat(),
});

describe('the ledger over a restart', () => {
  it('has the same things and waters in the same order, and does not know when they came', () => {
    holds(
      fc.property(fc.array(anyStep, { maxLength: ROWS }), (ledger) => {
        const { stepsG, stepKinds } = rows();
        keepLedger(ledger, stepsG, stepKinds);
        const told = ledger.map(({ kind, stepG }) => ({
          kind,
          stepG,
          afterG: Number.NaN,
          atMs: 0,
        }));
        expect(keptLedger(stepsG, stepKinds)).toEqual(told);
      }),
    );
  });

  it('keeps nothing of steps that were explained since', () => {
    const { stepsG, stepKinds } = rows();
    keepLedger([{ kind: 'on', stepG: 300, afterG: 4_300, atMs: 0 }], stepsG, stepKinds);
    keepLedger([], stepsG, stepKinds);
    expect(keptLedger(stepsG, stepKinds)).toEqual([]);
    expect([...stepsG, ...stepKinds].every((one) => one === 0)).toBe(true);
  });

  it('takes a kind that a newer firmware has given for a thing taken off', () => {
    expect(keptLedger([-350], [STEP_KINDS.length])).toMatchObject([{ kind: 'off', stepG: -350 }]);
  });
});
