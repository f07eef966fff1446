/** What the weight shows later of any steps there may be: `ledger-evidence.ts`, whose rules one by one are `ledger-evidence.test.ts`. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  foreignG,
  type Ledger,
  mayHaveGone,
  STEP_KINDS,
  sumG,
} from '../../firmware/control/ledger';
import {
  isDraining,
  weighedAgain,
  withDrained,
  withDrainedTo,
  withFilling,
  withNothingMissing,
} from '../../firmware/control/ledger-evidence';
import { leastAboveG } from '../../firmware/control/standing';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { anyLedger, anyLedgerOf, step } from './any-ledger';
import { TRAY } from './tray-on-scale';

const { capacityG } = TRAY;
const any = anyLedgerOf(...STEP_KINDS);
const anyG = fc.integer({ min: 2_500, max: 7_500 });

describe('a tray that is weighed again after nobody knows how long', () => {
  const CLAMP = step('on', 300);

  it('is watched from what it weighs now on: whether the thing that came last was water', () => {
    expect(weighedAgain([step('off', -350), CLAMP], 4_300)).toEqual([
      step('off', -350),
      { ...CLAMP, afterG: 4_300 },
    ]);
  });

  it('shows nothing of what came before eyes, passed for water, or is no thing on it', () => {
    for (const last of [{ ...CLAMP, afterG: 4_250 }, step('water', 300), step('off', -350)]) {
      const ledger = [CLAMP, last];
      expect(weighedAgain(ledger, 4_300)).toBe(ledger);
    }
    expect(weighedAgain([], 4_300)).toEqual([]);
  });

  it('has the same steps, and a last thing is known by what was weighed first', () => {
    holds(
      fc.property(any, anyG, anyG, (ledger, grams, laterG) => {
        const now = weighedAgain(ledger, grams);
        const unknown = (steps: Ledger) => steps.map((one) => ({ ...one, afterG: 0 }));
        expect(unknown(now)).toEqual(unknown(ledger));
        expect(now.slice(0, -1)).toEqual(ledger.slice(0, -1));
        expect(weighedAgain(now, laterG)).toBe(now);
        if (now.at(-1)?.kind === 'on') expect(now.at(-1)?.afterG).not.toBeNaN();
      }),
    );
  });
});

describe('whatever is on a tray that has drained', () => {
  const offG = fc.integer({ min: 20, max: 120 });

  it('it stands at its capacity by what is known then, or all is as it was', () => {
    holds(
      fc.property(anyLedger, anyG, offG, (ledger, grams, knownG) => {
        const now = withDrainedTo(ledger, grams, capacityG, knownG);
        const lacksG = (steps: Ledger) => Math.abs(capacityG - (grams - foreignG(steps)));
        if (lacksG(ledger) <= knownG) {
          // Only what may have gone is told from it, and takes no weight along.
          expect(now).toEqual(ledger.filter((one) => now.includes(one)));
          expect(foreignG(now)).toBe(foreignG(ledger));
        } else if (now !== ledger) expect(lacksG(now)).toBeLessThanOrEqual(knownG);
        // Nor does it say another thing of that when it is asked once more.
        expect(foreignG(withDrainedTo(now, grams, capacityG, knownG))).toBe(foreignG(now));
      }),
      { numRuns: 600 },
    );
  });

  it('what may have gone stands there, or went, where it would show; little of it stays in doubt', () => {
    const gone = fc.integer({ min: 20, max: 1_500 });
    holds(
      fc.property(gone, offG, fc.boolean(), (goneG, knownG, isThere) => {
        const ledger = [step('gone', goneG)];
        const grams = capacityG + (isThere ? goneG : 0);
        const now = withDrainedTo(ledger, grams, capacityG, knownG);
        if (goneG <= knownG) expect(now).toBe(ledger);
        else expect(now).toEqual(isThere ? [step('on', goneG)] : []);
      }),
    );
  });
});

describe('whatever is on a tray that stands above its capacity for an hour', () => {
  it('it is the drier for it, and stands no higher than a capacity is known; or all is as it was', () => {
    holds(
      fc.property(anyLedger, anyG, (ledger, grams) => {
        const now = withNothingMissing(ledger, grams, TRAY);
        const waterG = (steps: Ledger) => grams - foreignG(steps);
        if (now === ledger) return;
        expect(waterG(ledger) - capacityG).toBeGreaterThan(leastAboveG(TRAY));
        expect(waterG(now) - capacityG).toBeLessThanOrEqual(leastAboveG(TRAY));
        expect(withNothingMissing(now, grams, TRAY)).toBe(now);
      }),
      { numRuns: 600 },
    );
  });

  it('nothing that is known to stand on it goes, nor what was poured but for a thing that came with it', () => {
    holds(
      fc.property(anyLedger, anyG, (ledger, grams) => {
        const now = withNothingMissing(ledger, grams, TRAY);
        const stays = ledger.filter(
          ({ kind, ranOff }) => kind === 'on' || (kind === 'water' && !ranOff),
        );
        if (now.length < WEIGHT_LIMITS.ledgerMax)
          expect(now).toEqual(expect.arrayContaining(stays));
        expect(mayHaveGone(now).every((one) => ledger.includes(one))).toBe(true);
        const missing = (steps: Ledger) => sumG(steps.filter(({ kind }) => kind === 'off'));
        expect(missing(now)).toBeGreaterThanOrEqual(missing(ledger));
      }),
      { numRuns: 300 },
    );
  });
});

describe('whatever drains', () => {
  it('is water from then on, and what rises by itself drains from there: no weight is made or lost', () => {
    const ms = fc.nat(2 * HOUR_MS);
    holds(
      fc.property(
        anyLedger,
        anyG,
        ms,
        fc.integer({ min: 0, max: 3 }),
        (ledger, grams, uptimeMs, roseG) => {
          const drained = withDrained(ledger, grams, { ...TRAY, losesGPerMs: 0 }, uptimeMs);
          const filling = withFilling(ledger, roseG, grams, uptimeMs);
          for (const now of [drained, filling]) expect(sumG(now)).toBe(sumG(ledger));
          if (drained !== ledger)
            expect(drained.filter(({ ranOff, flowed }) => ranOff || flowed)).not.toEqual([]);
          if (filling !== ledger) expect(isDraining(filling, uptimeMs)).toBe(true);
          expect(foreignG(filling)).toBe(foreignG(ledger));
        },
      ),
      { numRuns: 300 },
    );
  });
});
