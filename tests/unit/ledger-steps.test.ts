/** What the steps of the ledger come to, and which there are: `ledger.ts` itself. How they are booked is `ledger.test.ts`. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bounded,
  EMPTY_LEDGER,
  FOUND_ANYHOW,
  flowedIn,
  foreignG,
  hasPoured,
  isTrayAway,
  type Ledger,
  matchG,
  mayHaveGone,
  mayStandG,
  mostG,
  pouredG,
  rescaled,
  STEP_KINDS,
  sumG,
  takenFor,
  thingOnG,
  without,
} from '../../firmware/control/ledger';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { holds } from '../properties';
import { anyLedger, anyLedgerOf, anyStepOf, MATCH_G, step } from './any-ledger';
import { TRAY } from './tray-on-scale';

const MANY = WEIGHT_LIMITS.ledgerMax;
const LID = step('off', -350);
const CLAMP = step('on', 600);
const GONE = step('gone', 900);
const POURED = step('water', 300);
const FLOOD_LOST = step('water', -200);
const TRAY_OFF = step('tray', -4_000);
const anyStep = anyStepOf(...STEP_KINDS);
const any = anyLedgerOf(...STEP_KINDS);
/** One or two more than there is room for: a tray that went, and what stands in its place. */
const tooMany = fc.array(anyStep, { minLength: MANY + 1, maxLength: MANY + 2 });
const kindsOf = (ledger: Ledger) => ledger.map(({ kind }) => kind);

describe('what the steps come to', () => {
  const all = [LID, CLAMP, GONE, POURED, FLOOD_LOST];

  it('is what is foreign to the tray, what was poured on it, and the largest thing that may stand there', () => {
    expect(sumG(all)).toBe(1_250);
    expect(foreignG(all)).toBe(250);
    expect(pouredG(all)).toBe(300);
    expect(thingOnG(all)).toBe(600);
    expect(mayStandG(all)).toBe(900);
    expect(mayStandG([LID, CLAMP])).toBe(600);
    expect(mayStandG([LID, POURED])).toBe(0);
    expect(foreignG([TRAY_OFF, CLAMP])).toBe(-3_400);
  });

  it('is poured where it came and passes for water: what a flood lost in one piece was not, nor is a thing', () => {
    expect([LID, CLAMP, GONE, POURED, FLOOD_LOST, TRAY_OFF].filter(hasPoured)).toEqual([POURED]);
  });

  it('may have gone, of all that there is, where nobody saw it go', () => {
    expect(mayHaveGone(all)).toEqual([GONE]);
    expect(mayHaveGone([CLAMP, POURED])).toEqual([]);
  });

  it('is the same in parts as in one, whatever they are', () => {
    holds(
      fc.property(any, any, (first, later) => {
        const both = [...first, ...later];
        for (const weighG of [sumG, foreignG, pouredG])
          expect(weighG(both)).toBe(weighG(first) + weighG(later));
        for (const largestG of [thingOnG, mayStandG])
          expect(largestG(both)).toBe(Math.max(largestG(first), largestG(later)));
        expect(isTrayAway(both)).toBe(isTrayAway(first) || isTrayAway(later));
        expect(mayHaveGone(both)).toEqual([...mayHaveGone(first), ...mayHaveGone(later)]);
      }),
    );
  });

  it('is foreign, or water that came or went, or may have gone: nothing counts twice', () => {
    holds(
      fc.property(any, (ledger) => {
        const lostG = sumG(ledger.filter(({ kind, stepG }) => kind === 'water' && stepG < 0));
        const sum = foreignG(ledger) + pouredG(ledger) + lostG + sumG(mayHaveGone(ledger));
        expect(sum).toBe(sumG(ledger));
        expect(mayStandG(ledger)).toBeGreaterThanOrEqual(thingOnG(ledger));
        expect(pouredG(ledger)).toBe(sumG(ledger.filter(hasPoured)));
      }),
    );
  });
});

describe('steps that are taken out, or for something else', () => {
  it('leave the others as they were', () => {
    expect(without([LID, CLAMP, POURED], [LID, POURED])).toEqual([CLAMP]);
    const ran = step('water', 500, { flowed: true, ranOff: true });
    expect(takenFor([LID, ran], [ran], 'on')).toEqual([LID, step('on', 500)]);
  });

  it('weigh what they did, and no thing flows', () => {
    const some = any.chain((ledger) => fc.tuple(fc.constant(ledger), fc.subarray([...ledger])));
    holds(
      fc.property(some, fc.constantFrom(...STEP_KINDS), ([ledger, steps], kind) => {
        const now = takenFor(ledger, steps, kind);
        expect(now.map(({ stepG, afterG, atMs }) => [stepG, afterG, atMs])).toEqual(
          ledger.map(({ stepG, afterG, atMs }) => [stepG, afterG, atMs]),
        );
        const taken = now.filter((_, i) => steps.some((one) => one === ledger[i]));
        expect(taken.every((one) => one.kind === kind && !one.flowed && !one.ranOff)).toBe(true);
        const left = without(ledger, steps);
        expect(left.length + steps.length).toBe(ledger.length);
        expect(sumG(left) + sumG(steps)).toBe(sumG(ledger));
        expect(without(now, left)).toEqual(taken);
      }),
    );
  });
});

describe('what may be another', () => {
  it('is off by no more than 10 g, or 3 % of a large thing', () => {
    expect([0, 100, 333].map(matchG)).toEqual([MATCH_G, MATCH_G, MATCH_G]);
    expect(matchG(1_000)).toBe(30);
  });

  it('is no more than the wool and all round it may hold, and that is not known without a capacity', () => {
    expect(mostG({ capacityG: 4_600, dryG: 600, plantsG: 0 })).toBe(4_800);
    expect(mostG({ ...TRAY, capacityG: Number.NaN })).toBeNaN();
  });

  it('is known the less nearly the larger it is; and a tray holds the more the more its wool does', () => {
    const g = fc.nat(6_000);
    holds(
      fc.property(g, g, fc.nat(2_000), (one, more, dryG) => {
        expect(matchG(one + more)).toBeGreaterThanOrEqual(matchG(one));
        expect(matchG(one + more)).toBeLessThanOrEqual(matchG(one) + matchG(more) + 1e-9);
        const holdsG = (capacityG: number) => mostG({ capacityG, dryG, plantsG: 0 });
        expect(holdsG(dryG)).toBe(dryG);
        expect(holdsG(dryG + one + more)).toBeGreaterThanOrEqual(holdsG(dryG + one));
        expect(holdsG(dryG + one)).toBeGreaterThanOrEqual(dryG + one);
      }),
    );
  });
});

describe('a ledger with a step too many', () => {
  const full = (...last: Ledger): Ledger => [...Array(MANY + 1 - last.length).fill(LID), ...last];

  it('forgets the oldest water, or else what may have gone, and makes one thing of two before it forgets one', () => {
    expect(bounded(full(POURED, CLAMP, step('water', 90)))).toEqual([
      ...Array(MANY - 2).fill(LID),
      CLAMP,
      step('water', 90),
    ]);
    expect(bounded(full(GONE, POURED))).toEqual([...Array(MANY - 1).fill(LID), GONE]);
    expect(bounded(full(GONE, CLAMP))).toEqual([...Array(MANY - 1).fill(LID), CLAMP]);
    const { stepG } = bounded(full())[0] ?? LID;
    expect(stepG).toBe(2 * LID.stepG);
  });

  it('takes two things for what they weigh together; a tray that is away among them stays away', () => {
    const firstOf = (...two: Ledger) => bounded([...two, ...full().slice(2)])[0];
    expect(firstOf(LID, CLAMP)).toMatchObject({ kind: 'on', stepG: 250 });
    for (const two of [
      [CLAMP, step('off', -700)],
      [step('off', -700), CLAMP],
    ])
      expect(firstOf(...two)).toMatchObject({ kind: 'off', stepG: -100 });
    expect(firstOf(TRAY_OFF, CLAMP)).toMatchObject({ kind: 'tray', stepG: -3_400 });
    expect(firstOf(CLAMP, TRAY_OFF)).toMatchObject({ kind: 'tray', stepG: -3_400 });
  });

  it('is no longer than it may be, weighs what it did but for water, and its tray is where it was', () => {
    holds(
      fc.property(tooMany, (steps) => {
        const kept = bounded(steps);
        expect(kept).toHaveLength(MANY);
        expect(foreignG(kept)).toBe(foreignG(steps));
        expect(isTrayAway(kept)).toBe(isTrayAway(steps));
        expect(kept.slice(1).every((one) => steps.includes(one))).toBe(true);
        expect(bounded(kept)).toBe(kept);
      }),
      { numRuns: 300 },
    );
  });

  it('is the same where it has room', () => {
    holds(fc.property(any, (ledger) => bounded(ledger) === ledger));
  });
});

describe('water that runs in', () => {
  it('is the tray its own, and none where that is away: so much is a thing in its place', () => {
    expect(flowedIn([CLAMP], 700, 5_000, 9)).toEqual([
      CLAMP,
      { kind: 'water', stepG: 700, afterG: 5_000, atMs: 9, flowed: true },
    ]);
    expect(kindsOf(flowedIn([TRAY_OFF], 700, 700, 9))).toEqual(['tray', 'on']);
  });

  it('adds nothing that is foreign to a tray that stands there, however long its ledger', () => {
    holds(
      fc.property(anyLedger, fc.nat(3_000), (ledger, stepG) => {
        expect(foreignG(flowedIn(ledger, stepG, 5_000, 0))).toBe(foreignG(ledger));
      }),
    );
  });
});

describe('another calibration', () => {
  const found = step('on', 800, { afterG: 4_800, paidG: 40, found: { moreG: 120, lessG: 60 } });

  it('tells all weights of a step anew, those that it may be off by too, and no time', () => {
    expect(rescaled([found], 2)).toEqual([
      step('on', 1_600, { afterG: 9_600, paidG: 80, found: { moreG: 240, lessG: 120 } }),
    ]);
    expect(rescaled([step('on', 800, { found: FOUND_ANYHOW })], 0.5)[0]?.found).toEqual(
      FOUND_ANYHOW,
    );
  });

  it('and the one before it again leave each step what it was', () => {
    const factor = fc.constantFrom(0.25, 0.5, 2, 4);
    holds(
      fc.property(any, factor, fc.boolean(), (ledger, k, withFound) => {
        const all = withFound ? [...ledger, found] : ledger;
        expect(rescaled(rescaled(all, k), 1 / k)).toEqual(all);
        expect(foreignG(rescaled(all, k))).toBe(foreignG(all) * k);
        expect(kindsOf(rescaled(all, k))).toEqual(kindsOf(all));
      }),
    );
  });

  it('of an empty ledger is none', () => {
    expect(rescaled(EMPTY_LEDGER, 1.1)).toEqual([]);
  });
});
