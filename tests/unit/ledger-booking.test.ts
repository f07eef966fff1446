import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foreignG, isTrayAway, type Ledger } from '../../firmware/control/ledger';
import { book, isTrayLifted } from '../../firmware/control/ledger-booking';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { holds } from '../properties';
import { anyLedger, change, MATCH_G, MOST_G, step } from './any-ledger';
import { TRAY } from './tray-on-scale';

const WAS_G = 4_000;
const lifted = (ledger: Ledger, fellG: number, waterG = WAS_G) =>
  isTrayLifted(ledger, -fellG, waterG);

describe('a tray that is lifted', () => {
  it('falls by what it weighs with its water, to 10 g, and leaves what stood beside it', () => {
    for (const ledger of [[], [step('on', 600)], [step('off', -350)]]) {
      expect([-MATCH_G, 0, MATCH_G].map((offG) => lifted(ledger, WAS_G + offG))).toEqual([
        ...[true, true, true],
      ]);
      expect([-MATCH_G - 1, MATCH_G + 1].map((g) => lifted(ledger, WAS_G + g))).toEqual([
        ...[false, false],
      ]);
    }
  });

  it('takes with it some of the things, which lay in it, where the others weigh what is left', () => {
    const things = [step('on', 600), step('on', 250)];
    expect(lifted(things, WAS_G + 250)).toBe(true);
    expect(lifted(things, WAS_G + 600)).toBe(true);
    expect(lifted(things, WAS_G + 400)).toBe(false);
  });

  it('leaves what had passed for water, or may have gone: that was a thing beside it', () => {
    for (const kind of ['water', 'gone'] as const) {
      expect(lifted([step(kind, 600)], WAS_G - 600)).toBe(true);
      expect(lifted([step(kind, 600)], WAS_G - 620)).toBe(false);
    }
  });

  it('is not where a thing is taken off that weighs what falls more nearly, nor where it is away already, nor by a rise', () => {
    const thing = step('on', 4_003);
    expect(lifted([thing], 4_000)).toBe(true);
    expect(lifted([thing], 4_003)).toBe(false);
    expect(lifted([step('tray', -WAS_G)], WAS_G)).toBe(false);
    expect(isTrayLifted([], WAS_G, -WAS_G)).toBe(false);
    expect(isTrayLifted([], 0, 0)).toBe(false);
  });

  it('is away in the ledger when the hand is over, and so is one that leaves less than half of the dry tray', () => {
    const waterG = fc.integer({ min: TRAY.dryG, max: TRAY.capacityG });
    const near = fc.integer({ min: -30, max: 30 });
    holds(
      fc.property(anyLedger, waterG, near, fc.nat(4), (ledger, wasG, offG, at) => {
        const leftG = ledger[at]?.stepG ?? 0;
        for (const stepG of [-wasG + offG, -wasG + leftG + offG, -wasG - leftG + offG]) {
          const afterG = wasG + foreignG(ledger) + stepG;
          const booked = book(ledger, change(stepG, wasG, { afterG }), TRAY);
          if (isTrayLifted(ledger, stepG, wasG)) expect(isTrayAway(booked)).toBe(true);
        }
        expect(lifted([], wasG + offG, wasG)).toBe(Math.abs(offG) <= MATCH_G);
      }),
      { numRuns: 300 },
    );
  });
});

describe('a step that is booked', () => {
  const anyStepG = fc.integer({ min: -3_900, max: 3_000 });
  const onAny = (ledger: Ledger, stepG: number, waterG = WAS_G) => {
    const afterG = waterG + foreignG(ledger) + stepG;
    const now = book(ledger, change(stepG, waterG, { afterG }), TRAY);
    return { now, waterG: afterG - foreignG(now) };
  };

  it('is told by no more than a hand moves it, up or down', () => {
    const ledger = [step('on', 300)];
    for (const g of [-WEIGHT_LIMITS.restlessG, 0, WEIGHT_LIMITS.restlessG])
      expect(onAny(ledger, g).now).toBe(ledger);
  });

  it('up brings back what was taken off, with no water for what that seemed to weigh less', () => {
    const between = step('on', 300);
    const off = [step('off', -350), between, step('off', -200)];
    expect(onAny(off, 550 + MATCH_G).now).toEqual([between]);
    expect(onAny(off, 550 + MATCH_G + 1).now).toMatchObject([
      between,
      { kind: 'water', stepG: MATCH_G + 1, paidG: 550 },
    ]);
  });

  it('makes no tray wetter than its wool holds, nor than it weighs, where nothing else was on the scale', () => {
    const water = fc.integer({ min: TRAY.dryG, max: TRAY.capacityG });
    holds(
      fc.property(water, anyStepG, (wasG, stepG) => {
        const { now, waterG } = onAny([], stepG, wasG);
        if (isTrayAway(now)) return;
        expect(waterG).toBeLessThanOrEqual(Math.min(MOST_G, wasG + Math.max(0, stepG)));
        expect(waterG).toBeGreaterThanOrEqual(wasG + Math.min(0, stepG));
        expect([wasG, wasG + stepG]).toContain(waterG);
      }),
      { numRuns: 300 },
    );
  });

  it('down never brings water to a tray, but for what was a thing that it takes back', () => {
    holds(
      fc.property(anyLedger, anyStepG, (ledger, ofG) => {
        const stepG = -Math.abs(ofG) - 20;
        const { now, waterG } = onAny(ledger, stepG);
        if (isTrayAway(now) || ledger.some((one) => !now.includes(one))) return;
        expect(waterG).toBeLessThanOrEqual(WAS_G);
      }),
      { numRuns: 300 },
    );
  });
});
