import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  EMPTY_LEDGER,
  flowedIn,
  foreignG,
  type Ledger,
  type Step,
} from '../../firmware/control/ledger';
import { book } from '../../firmware/control/ledger-booking';
import { cameInFlood, hasStoodInFlood, isOfFlood } from '../../firmware/control/ledger-flood';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { anyLedger, change, step, stoodIn } from './any-ledger';
import { SEEN_AT_ONCE, TRAY } from './tray-on-scale';

const rangeG = TRAY.capacityG - TRAY.dryG;
const overfullG = WEIGHT_LIMITS.overfillShare * rangeG;
/** It came at once, and some of it ran off. */
const came = (stepG: number): Step => ({
  kind: 'water',
  stepG,
  afterG: TRAY.capacityG + stepG,
  atMs: 0,
  flowed: true,
  ranOff: true,
});
/** The ledger of a tray of `waterG`, once a hand has taken `takenG` from it hours later. */
function takenFrom(ledger: Ledger, waterG: number, takenG: number, possible = TRAY): Ledger {
  const change = { stepG: -takenG, waterG, afterG: waterG - takenG, uptimeMs: 5 * HOUR_MS };
  return book(ledger, { ...SEEN_AT_ONCE, ...change }, possible);
}

describe('what is taken from a tray that was flooded', () => {
  it('takes off what came while a flood ran off, where it still stood above the wool an hour later', () => {
    const above = TRAY.capacityG + overfullG;
    const takenOff = (stepG: number, waterG: number, uptimeMs: number) => {
      const flooded = flowedIn(EMPTY_LEDGER, 600, waterG, 0);
      const change = {
        stepG,
        waterG,
        afterG: waterG + stepG,
        uptimeMs,
        ...SEEN_AT_ONCE,
      };
      return book(flooded, change, TRAY).at(-1)?.kind;
    };
    const driedG = WEIGHT_LIMITS.awayDriedSharePerH * rangeG;
    expect(takenOff(-(overfullG + driedG), above + 1, HOUR_MS)).toBe('water');
    // Sooner it may have been the flood's own; so may what the wool holds; wool dries no further; no more came.
    expect(takenOff(-(overfullG + driedG), above + 1, HOUR_MS - 1)).toBe('off');
    expect(takenOff(-(overfullG + driedG), above - 1, HOUR_MS)).toBe('off');
    expect(takenOff(-(overfullG + driedG + 2), above + 1, HOUR_MS)).toBe('off');
    expect(takenOff(-620, above + 1, 10 * HOUR_MS)).toBe('off');
  });

  it('takes off what came while a flood ran off, and all that was put on it later, in one', () => {
    const waterG = TRAY.capacityG + 400;
    const flooded = flowedIn(EMPTY_LEDGER, 700, waterG, 0);
    const on = (stepG: number, afterG: number) => ({ kind: 'on', stepG, afterG, atMs: 0 }) as const;
    const stood = [on(500, waterG + 500), on(300, waterG + 800)];
    const takenOff = (stepG: number) => {
      const change = { ...SEEN_AT_ONCE, stepG, waterG, afterG: waterG + 800 + stepG };
      return book([...flooded, ...stood], { ...change, uptimeMs: 3 * HOUR_MS }, TRAY);
    };
    expect(takenOff(-800 - 450)).toMatchObject([...flooded, { kind: 'water', stepG: -450 }]);
    // No more stood in the flood than came with it.
    expect(takenOff(-800 - 760).at(-1)?.kind).toBe('off');
  });

  it('is its flood, set down again as it runs off, by as much less as its plants are thought to weigh', () => {
    const taken = (plantsG: number) => {
      const possible = { capacityG: TRAY.capacityG + plantsG, dryG: TRAY.dryG + plantsG, plantsG };
      const flooded = flowedIn(EMPTY_LEDGER, 330, TRAY.capacityG + 330, 5 * HOUR_MS);
      return takenFrom(flooded, TRAY.capacityG + 250, 224, possible).at(-1)?.kind;
    };
    expect(taken(0)).toBe('water');
    expect(taken(44)).toBe('water');
  });
});

describe('a thing that came with water, of which some ran off', () => {
  it('is known as it is taken off: the tray is as dry as it weighs', () => {
    const waterG = TRAY.capacityG - 400;
    const ledger = takenFrom([came(919)], waterG, 605);
    expect(foreignG(ledger)).toBe(0);
    expect(ledger).toMatchObject([{ kind: 'water', stepG: 919 - 605, flowed: true }]);
    expect(ledger[0]?.ranOff).toBeUndefined();
  });

  it('leaves no water behind where all of it goes', () => {
    expect(takenFrom([came(600)], TRAY.capacityG - 400, 595)).toEqual([]);
  });

  it('is no lid, and no more than came', () => {
    const kindOf = (takenG: number) =>
      takenFrom([came(600)], TRAY.capacityG - 400, takenG).at(-1)?.kind;
    expect(kindOf(WEIGHT_LIMITS.goesMostG)).toBe('off');
    expect(kindOf(WEIGHT_LIMITS.goesMostG + 1)).toBe('water');
    expect(kindOf(620)).toBe('off');
  });

  it('never leaves the tray wetter than it weighs, whatever of it goes', () => {
    const g = fc.integer({ min: WEIGHT_LIMITS.goesMostG + 1, max: 2_000 });
    holds(
      fc.property(g, g, (cameG, takenG) => {
        fc.pre(takenG <= cameG);
        expect(foreignG(takenFrom([came(cameG)], TRAY.capacityG - 400, takenG))).toBe(0);
      }),
    );
  });
});

describe('what goes from a flooded tray', () => {
  const { capacityG } = TRAY;
  const HOUR = { handMs: HOUR_MS };
  const isFlood = (lostG: number, floodG: number, more = {}, possible = TRAY) =>
    isOfFlood(change(-lostG, capacityG + floodG, more), possible);

  it('is the flood by as much as that, as nearly as a thing is known, and what wool dries by meanwhile', () => {
    expect(isFlood(310, 300)).toBe(true);
    expect(isFlood(311, 300)).toBe(false);
    expect(isFlood(410, 300, HOUR)).toBe(true);
    // No more dries of a flood than there is of it.
    expect(isFlood(111, 50, HOUR)).toBe(false);
    expect(isFlood(110, 50, HOUR)).toBe(true);
  });

  it('is none of a tray that lacks water, however long a hand is there', () => {
    expect(isFlood(50, -45, HOUR)).toBe(false);
    expect(isFlood(50, -45, HOUR, { ...TRAY, plantsG: 100 })).toBe(true);
  });

  it('is the flood all the more the more stands there, the longer it runs, and the less goes', () => {
    const g = fc.nat(900);
    holds(
      fc.property(
        g,
        g,
        fc.nat(600),
        fc.nat(10 * HOUR_MS),
        fc.nat(200),
        (lostG, floodG, moreG, handMs, plantsG) => {
          fc.pre(isFlood(lostG, floodG, { handMs }));
          expect(isFlood(lostG, floodG + moreG, { handMs })).toBe(true);
          expect(isFlood(lostG, floodG, { handMs: handMs + moreG * 1_000 })).toBe(true);
          expect(isFlood(lostG - Math.min(lostG, moreG), floodG, { handMs })).toBe(true);
          expect(isFlood(lostG, floodG, { handMs }, { ...TRAY, plantsG })).toBe(true);
          expect(lostG).toBeLessThanOrEqual(2 * floodG + Math.max(10, 0.031 * lostG));
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe('what had stood in a flood', () => {
  const { capacityG } = TRAY;
  const flood = step('water', 600, { flowed: true });
  /** It is taken off a tray that stands so much above all that may be water, so long after the flood. */
  const stood = (lostG: number, { ms = HOUR_MS, aboveG = 1, ledger = [flood] as Ledger } = {}) =>
    hasStoodInFlood(ledger, change(-lostG, capacityG + overfullG + aboveG, { uptimeMs: ms }), TRAY);

  it('was there where the tray is too heavy without it an hour later, and has dried by no more than wool may', () => {
    const mostG = overfullG + 1 + WEIGHT_LIMITS.awayDriedSharePerH * rangeG;
    expect(stood(Math.floor(mostG))).toBe(true);
    expect(stood(Math.ceil(mostG))).toBe(false);
    expect(stood(Math.ceil(mostG), { ms: 2 * HOUR_MS })).toBe(true);
    expect(stood(200, { ms: HOUR_MS - 1 })).toBe(false);
    expect(stood(200, { aboveG: 0 })).toBe(false);
  });

  it('was no more than what ran in, and nothing where all of it came at once', () => {
    expect(stood(618, { ms: 9 * HOUR_MS })).toBe(true);
    expect(stood(619, { ms: 9 * HOUR_MS })).toBe(false);
    expect(stood(200, { ledger: [step('water', 600)] })).toBe(false);
    expect(stood(200, { ledger: [] })).toBe(false);
  });

  it('stays so the longer it is ago, and the more ran in', () => {
    const ms = fc.integer({ min: HOUR_MS, max: 9 * HOUR_MS });
    const g = fc.integer({ min: 20, max: 1_200 });
    holds(
      fc.property(g, ms, ms, g, fc.nat(300), (lostG, oneMs, moreMs, moreG, aboveG) => {
        fc.pre(stood(lostG, { ms: oneMs, aboveG }));
        expect(stood(lostG, { ms: oneMs + moreMs, aboveG })).toBe(true);
        const more = { ...flood, stepG: flood.stepG + moreG };
        expect(stood(lostG, { ms: oneMs, aboveG, ledger: [more] })).toBe(true);
        expect(lostG).toBeLessThanOrEqual(flood.stepG + 0.031 * lostG);
      }),
      { numRuns: 300 },
    );
  });
});

describe('what came in a flood', () => {
  it('is the last that ran off in part and weighs enough, and the rest of that is water like any', () => {
    const other = came(900);
    const told = cameInFlood([other, came(600)], change(-500, 4_000));
    expect(told).toEqual([
      other,
      { ...step('water', 100, { afterG: TRAY.capacityG + 100 }), flowed: true },
    ]);
    for (const allG of [590, 600, 610])
      expect(cameInFlood([other, came(600)], change(-allG, 4_000))).toEqual([other]);
    expect(cameInFlood([other, came(600)], change(-700, 4_000))).toMatchObject([
      { stepG: 200 },
      { stepG: 600, ranOff: true },
    ]);
  });

  it('takes from one step what is taken off, to as nearly as a thing is known, and from no other', () => {
    holds(
      fc.property(anyLedger, fc.integer({ min: -1_500, max: -20 }), (ledger, stepG) => {
        const now = cameInFlood(ledger, change(stepG, 4_000));
        if (now === null) return;
        expect(foreignG(now)).toBe(foreignG(ledger));
        const [was, ...others] = ledger.filter((one) => !stoodIn(now, one));
        expect(others).toEqual([]);
        const left = now.filter((one) => !stoodIn(ledger, one));
        const leftG = left.reduce((sum, one) => sum + one.stepG, 0);
        expect(left.every(({ ranOff }) => ranOff === undefined)).toBe(true);
        expect(Math.abs((was?.stepG ?? 0) + stepG - leftG)).toBeLessThanOrEqual(45);
        expect(leftG).toBeGreaterThanOrEqual(0);
      }),
      { numRuns: 400 },
    );
  });
});
