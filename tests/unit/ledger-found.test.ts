/** What was found on a tray, or may be hidden on it, after a time in which nobody weighed it: `ledger-unseen.ts`. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foreignG, isTrayAway, type Ledger } from '../../firmware/control/ledger';
import {
  driedShare,
  foundAsWater,
  foundOther,
  foundWithLoss,
  type Hidden,
  hiddenG,
  hiddenSince,
  hidLoss,
} from '../../firmware/control/ledger-unseen';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { anyLedger, anyStepOf, change, RANGE_G, step, stoodIn } from './any-ledger';
import { TRAY } from './tray-on-scale';

const { lostUnseenMs, hidesMs, drawnMostGPerH, goesMostG } = WEIGHT_LIMITS;
const FOR_EVER = Number.POSITIVE_INFINITY;
/** The tray may have lost 300 g more before it was found than was reckoned, or 50 g less. */
const FOUND = { moreG: 300, lessG: 50 };
const LATER = step('on', 300);

describe('a thing that was found and goes again', () => {
  const THING = step('on', 900, { found: FOUND });
  const goes = (stepG: number, ledger: Ledger = [THING], waterG = 3_000) =>
    foundOther(ledger, change(stepG, waterG), TRAY);

  it('weighs what the tray had lost besides more than it seemed, or what it had not, less', () => {
    expect(goes(-1_200)).toEqual([]);
    expect(goes(-1_201)).toBeNull();
    expect(goes(-850)).toEqual([]);
  });

  it('weighs less yet where the tray had got a little water, as much as stands above a full one', () => {
    expect(goes(-900 + 203)).toEqual([]);
    expect(goes(-900 + 204)).toBeNull();
    // A tray with less room got less.
    expect(goes(-840, [THING], TRAY.capacityG - 60)).toEqual([]);
    expect(goes(-820, [THING], TRAY.capacityG - 60)).toBeNull();
  });

  it('goes alone, or with what came before or after it, whichever leaves the tray to have lost least', () => {
    expect(goes(-1_190, [THING, LATER])).toEqual([]);
    expect(goes(-1_000, [THING, LATER])).toEqual([LATER]);
    expect(goes(-1_250, [LATER, THING])).toEqual([]);
    const [first, second] = [step('on', 100), step('on', 200)];
    expect(goes(-1_100, [first, second, THING])).toEqual([first]);
  });

  it('stays as the tray is taken from under it, and weighs what stands there then', () => {
    const lifted = goes(-3_100);
    expect(lifted).toMatchObject([
      { kind: 'on', stepG: 800 },
      { kind: 'tray', stepG: -3_100 },
    ]);
    expect(lifted?.[0]?.found).toBeUndefined();
    // No lid weighs as much: of less it is the thing that goes.
    expect(goes(-1_150, [THING], 1_200)).toEqual([]);
  });

  it('is missed the other way: a thing that was found gone comes back', () => {
    const lid = step('off', -350, { found: FOUND });
    expect(goes(320, [lid])).toEqual([]);
    expect(goes(40, [lid])).toBeNull();
    expect(goes(320, [step('off', -350)])).toBeNull();
    expect(goes(-900, [step('on', 900)])).toBeNull();
  });

  it('leaves the tray no drier than it may have been, and nothing that did not stand there', () => {
    const found = anyStepOf('on').map((one) => ({ ...one, found: FOUND }));
    const fall = fc.integer({ min: -1_900, max: -20 });
    holds(
      fc.property(anyLedger, found, fc.nat(6), fall, (others, thing, at, stepG) => {
        const ledger = [...others.slice(0, at), thing, ...others.slice(at)];
        const now = goes(stepG, ledger);
        if (now === null || isTrayAway(now)) return;
        expect(now.every((one) => stoodIn(ledger, one))).toBe(true);
        expect(now.length).toBeLessThan(ledger.length);
        const waterLostG = foreignG(now) - foreignG(ledger) - stepG;
        expect(waterLostG).toBeLessThanOrEqual(FOUND.moreG);
        expect(waterLostG).toBeGreaterThanOrEqual(-0.05 * RANGE_G);
      }),
      { numRuns: 400 },
    );
  });
});

describe('what passed for water as it was found', () => {
  const WATER = step('water', 500, { found: FOUND });
  const asWater = (stepG: number, ledger: Ledger = [WATER]) =>
    foundAsWater(ledger, change(stepG, 4_000));
  const withLoss = (stepG: number, waterG = 4_000, ledger: Ledger = [WATER]) =>
    foundWithLoss(ledger, change(stepG, waterG), TRAY);

  it('was a thing where about as much goes again, to 30 % of it, and no other', () => {
    expect([-350, -500, -650].map((stepG) => asWater(stepG))).toEqual([[], [], []]);
    expect([-349, -651, 500].map((stepG) => asWater(stepG))).toEqual([null, null, null]);
    expect(asWater(-500, [step('water', 500)])).toBeNull();
    expect(asWater(-500, [step('on', 500, { found: FOUND })])).toBeNull();
  });

  it('was one as well where more goes by what the tray may have lost: so much of it was hidden', () => {
    expect(withLoss(-501)).toEqual([]);
    expect(withLoss(-800)).toEqual([]);
    expect([-500, -801].map((stepG) => withLoss(stepG))).toEqual([null, null]);
    expect(withLoss(-700, TRAY.dryG + 700)).toEqual([]);
    expect(withLoss(-700, TRAY.dryG + 699)).toBeNull();
  });

  it('is the last that was found, and what was poured before eyes stays', () => {
    const [before, poured] = [step('water', 600, { found: FOUND }), step('water', 550)];
    expect(asWater(-500, [before, WATER, poured, LATER])).toEqual([before, poured, LATER]);
    expect(withLoss(-700, 4_000, [before, WATER, poured])).toEqual([before, poured]);
  });

  it('leaves the tray as dry as it weighs, and takes one step from the ledger, or tells nothing', () => {
    const found = anyStepOf('water').map((one) => ({ ...one, found: FOUND }));
    holds(
      fc.property(
        anyLedger,
        found,
        fc.integer({ min: -2_000, max: 2_000 }),
        (others, one, stepG) => {
          const ledger = [...others, one];
          const done = change(stepG, 4_000);
          for (const now of [foundAsWater(ledger, done), foundWithLoss(ledger, done, TRAY)]) {
            if (now === null) continue;
            expect(now).toEqual(others);
            expect(foreignG(now)).toBe(foreignG(ledger));
            // No rise shows a thing, and no water that went does.
            expect(Math.sign(stepG * one.stepG)).toBe(-1);
            expect(one.stepG).toBeGreaterThan(0);
            expect(Math.abs(stepG + one.stepG)).toBeLessThanOrEqual(Math.max(300, 0.3 * one.stepG));
          }
        },
      ),
      { numRuns: 400 },
    );
  });
});

describe('what a tray lost while nobody weighed it, and a thing may hide', () => {
  const since = (before: Hidden | null, unseenMs: number, atMs = HOUR_MS, losesGPerMs = 0) =>
    hiddenSince(before, unseenMs, { ...TRAY, losesGPerMs, uptimeMs: atMs });

  it('is what a cloth draws in so long, or what dries and leaks if that is more, and any of it after a power cut', () => {
    expect(since(null, HOUR_MS)).toEqual({ mostG: drawnMostGPerH, atMs: HOUR_MS });
    const leaks = since(null, HOUR_MS, HOUR_MS, 1_000 / HOUR_MS)?.mostG;
    expect(leaks).toBeCloseTo(1_000 + 0.03 * RANGE_G, 6);
    expect(since(null, FOR_EVER)).toEqual({ mostG: FOR_EVER, atMs: HOUR_MS });
  });

  it('is nothing before ten minutes, and what was hidden before is still', () => {
    const before = { mostG: 300, atMs: 0 };
    expect(since(before, lostUnseenMs - 1)).toBe(before);
    expect(since(null, lostUnseenMs - 1)).toBeNull();
    expect(since(null, lostUnseenMs)).not.toBeNull();
    expect(since(before, HOUR_MS)?.mostG).toBe(300 + drawnMostGPerH);
  });

  it('is hidden for a day, and no longer', () => {
    const hidden = { mostG: 300, atMs: HOUR_MS };
    expect(hiddenG(hidden, HOUR_MS + hidesMs)).toBe(300);
    expect(hiddenG(hidden, HOUR_MS + hidesMs + 1)).toBe(0);
    expect(hiddenG(null, 0)).toBe(0);
    expect(since(hidden, HOUR_MS, HOUR_MS + hidesMs + 1)?.mostG).toBe(drawnMostGPerH);
  });

  it('is no less over two times than over both in one, and never less than what dries in the second', () => {
    const ms = fc.integer({ min: lostUnseenMs, max: 20 * HOUR_MS });
    const paces = fc.constantFrom(0, 40 / HOUR_MS, 1_500 / HOUR_MS);
    holds(
      fc.property(ms, ms, fc.nat(hidesMs), paces, (oneMs, otherMs, betweenMs, gPerMs) => {
        const first = since(null, oneMs, HOUR_MS, gPerMs);
        const both = since(first, otherMs, HOUR_MS + betweenMs, gPerMs)?.mostG ?? 0;
        const inOne = since(null, oneMs + otherMs, HOUR_MS, gPerMs)?.mostG ?? 0;
        expect(both).toBeGreaterThanOrEqual(inOne - 1e-6);
        expect(both).toBeGreaterThanOrEqual(driedShare(otherMs) * RANGE_G);
        expect(hiddenG(first, HOUR_MS + betweenMs)).toBeGreaterThan(0);
      }),
    );
  });
});

describe('what is taken off soon after a time in which nobody weighed the tray', () => {
  const hid = (stepG: number, hidesG: number, ledger: Ledger = [LATER], waterG = 4_000) =>
    hidLoss(ledger, change(stepG, waterG, { hidesG }), TRAY);

  it('came in that time, and hid what the tray lost, where it is more than a lid and no more than that', () => {
    expect(hid(-goesMostG - 1, 500)).toBe(true);
    expect(hid(-goesMostG, 500)).toBe(false);
    expect(hid(-500, 500)).toBe(true);
    expect(hid(-501, 500)).toBe(false);
    expect(hid(-500, FOR_EVER, [], TRAY.dryG + 499)).toBe(false);
  });

  it('did not where another was found: that is what had come', () => {
    expect(hid(-300, 500, [step('on', 80, { found: FOUND })])).toBe(false);
  });

  it('leaves the tray no drier than dry, and all the more so the more it may hide', () => {
    const g = fc.nat(2_000);
    const stepG = fc.integer({ min: -2_000, max: 2_000 });
    holds(
      fc.property(
        anyLedger,
        stepG,
        g,
        g,
        fc.integer({ min: 600, max: 4_600 }),
        (ledger, ofG, hidesG, moreG, waterG) => {
          fc.pre(hid(ofG, hidesG, ledger, waterG));
          expect(hid(ofG, hidesG + moreG, ledger, waterG)).toBe(true);
          expect(waterG + ofG).toBeGreaterThanOrEqual(TRAY.dryG);
          expect(-ofG).toBeGreaterThan(goesMostG);
        },
      ),
    );
  });
});
