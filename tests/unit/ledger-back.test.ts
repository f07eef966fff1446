/** A tray that comes back on its scale, with what stood on it or without, as it went or not: `withTrayAndGain`. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foreignG, isTrayAway, type Ledger, pouredG, sumG } from '../../firmware/control/ledger';
import { withTrayAndGain } from '../../firmware/control/ledger-away';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { anyLedgerOf, change, MATCH_G, MOST_G, RANGE_G, step } from './any-ledger';
import { TRAY } from './tray-on-scale';

/** It went with 4 kg of tray and water, and was beside the scale for an hour. */
const WENT_G = 4_000;
const { awayDriedShare, awayDriedSharePerH } = WEIGHT_LIMITS;
const LEAST_G = Math.ceil(WENT_G - (awayDriedShare + awayDriedSharePerH) * RANGE_G);
/** All that was on the scale was taken off, and `leftG` of it stayed. */
const without = (ledger: Ledger, leftG = 0): Ledger => [
  ...ledger,
  step('tray', leftG - WENT_G - foreignG(ledger), { afterG: leftG }),
];
/** What is known once the scale reads `grams` again. */
const back = (grams: number, before: Ledger = [], leftG = 0) => {
  const ledger = without(before, leftG);
  const scaleG = WENT_G + foreignG(ledger);
  const done = change(grams - scaleG, WENT_G, { afterG: grams, uptimeMs: HOUR_MS });
  return withTrayAndGain(ledger, done, TRAY);
};

describe('a tray that comes back', () => {
  it('is what it went as, or drier by what wool dries in so long; what is lighter is something else', () => {
    for (const grams of [WENT_G, WENT_G - 300, LEAST_G]) expect(back(grams)).toEqual([]);
    expect(back(LEAST_G - 1)).toBeNull();
  });

  it('has got water where it weighs more, up to what it holds; it may have been a thing, and hid what it dried by', () => {
    expect(back(WENT_G + MATCH_G)).toEqual([]);
    const [water] = back(WENT_G + 300) ?? [];
    expect(water).toMatchObject({ kind: 'water', stepG: 300, afterG: WENT_G + 300, atMs: HOUR_MS });
    expect(water?.found?.moreG).toBeCloseTo((awayDriedShare + awayDriedSharePerH) * RANGE_G, 6);
    expect(water?.found?.lessG).toBe(0);
    expect(back(MOST_G - 1)).toHaveLength(1);
    expect(back(MOST_G + 1)).toBeNull();
  });

  it('brings what stood on it, or that was left beside the scale: whichever leaves it more as it went', () => {
    const lamp = step('on', 300, { afterG: 4_300 });
    expect(back(WENT_G + 290, [lamp])).toEqual([step('on', 300)]);
    expect(back(WENT_G - 20, [lamp])).toEqual([]);
    // A gain counts three times: it dried by 200 g rather than that it got 100 g.
    expect(back(WENT_G + 100, [lamp])).toEqual([step('on', 300)]);
  });

  it('leaves beside it what stayed as it went, and that weighs what the scale said then', () => {
    const [pot, lamp] = [step('on', 300), step('on', 500)];
    expect(back(WENT_G + 500, [pot, lamp], 500)).toEqual([lamp]);
    expect(back(WENT_G + 800, [pot, lamp], 500)).toEqual([pot, lamp]);
    // It seemed heavier, by water that came with it and has run off.
    expect(back(WENT_G + 420, [lamp], 420)).toEqual([step('on', 420)]);
  });

  it('lacks what was taken off before it went, unless that was the thing that is missing now', () => {
    const lid = step('off', -350);
    expect(back(WENT_G - 350, [lid])).toEqual([lid]);
    expect(back(WENT_G - 350, [step('on', 360), lid])).toEqual([]);
    // It is missing where the tray would be too light without that; nor was it what came later.
    const tooDryG = LEAST_G - 200;
    expect(back(tooDryG, [step('on', 360), lid])).toEqual([lid]);
    expect(back(WENT_G - 350, [lid, step('on', 360)])).toEqual([lid]);
  });

  it('may have lost what was poured, or may have gone, where it is too light otherwise; never its own water', () => {
    const light = LEAST_G - 400;
    expect(back(light, [step('water', 500)])).toEqual([]);
    expect(back(light, [step('water', 500, { flowed: true })])).toBeNull();
    expect(back(light, [step('gone', 500)])).toEqual([]);
    expect(back(LEAST_G + 10, [step('gone', 500)])).toEqual([step('gone', 500)]);
  });

  it('tells nothing any more of what things weighed before, and of water only where that stands there still', () => {
    const [lid, poured] = [
      step('off', -350, { afterG: 3_650 }),
      step('water', 90, { afterG: 3_740 }),
    ];
    const told = back(WENT_G - 350, [lid, poured]);
    expect(told).toEqual([{ ...lid, afterG: Number.NaN }, poured]);
  });

  const grams = fc.integer({ min: 300, max: 6_000 });

  it('is as wet as it weighs, or is not what came: nothing else makes up for that', () => {
    holds(
      fc.property(grams, (nowG) => {
        const there = back(nowG);
        expect(there === null).toBe(nowG < LEAST_G || nowG > MOST_G);
        if (there === null) return;
        expect(foreignG(there)).toBe(0);
        expect(pouredG(there)).toBe(nowG > WENT_G + MATCH_G ? nowG - WENT_G : 0);
      }),
    );
  });

  it('with all that it went with is what it was', () => {
    holds(
      fc.property(anyLedgerOf('on', 'off', 'gone'), (ledger) => {
        const there = back(WENT_G + foreignG(ledger), ledger);
        expect(there).toEqual(ledger.map((one) => ({ ...one, afterG: Number.NaN })));
      }),
    );
  });

  it('is there, no wetter than it weighs without what is missing, nor drier than it may be', () => {
    holds(
      fc.property(anyLedgerOf('on', 'off', 'water', 'gone'), grams, (ledger, nowG) => {
        const there = back(nowG, ledger);
        if (there === null) return;
        expect(isTrayAway(there)).toBe(false);
        const missingG = sumG(ledger.filter(({ kind }) => kind === 'off'));
        const waterG = nowG - foreignG(there);
        expect(waterG).toBeLessThanOrEqual(nowG - missingG);
        expect(waterG).toBeLessThanOrEqual(MOST_G);
        expect(waterG).toBeGreaterThanOrEqual(TRAY.dryG - 17);
        expect(there.every(({ kind, stepG }) => kind !== 'on' || stepG > 0)).toBe(true);
      }),
      { numRuns: 400 },
    );
  });

  it('is there with no thing that weighs less than nothing, whatever stayed in its place as it went', () => {
    holds(
      fc.property(anyLedgerOf('on'), grams, fc.nat(1_500), (ledger, nowG, leftG) => {
        const there = back(nowG, ledger, leftG) ?? [];
        expect(there.filter(({ kind, stepG }) => kind === 'on' && stepG < 0)).toEqual([]);
      }),
      { numRuns: 600 },
    );
  });
});
