import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bookDone, bookHand, changeBy } from '../../firmware/control/hand-done';
import type { Hand } from '../../firmware/control/handling';
import { foreignG, isTrayAway, type Ledger } from '../../firmware/control/ledger';
import { beginsToTremble } from '../../firmware/control/trembling';
import type { WeightInput } from '../../firmware/control/weight';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS, MINUTE_MS, SECOND_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { CAME_MS, hand, reading, WAS_G } from './any-hand';
import { anyLedger, step } from './any-ledger';
import { QUIET_S, TRAY } from './tray-on-scale';

const { quietMs, goesMostG, firstWeightMs, bareMatK } = WEIGHT_LIMITS;
const POWER_CUT = Number.POSITIVE_INFINITY;
const kindsOf = (ledger: Ledger) => ledger.map(({ kind }) => kind);

describe('what a hand did', () => {
  const done = (hands: Partial<Hand> = {}, input: Partial<WeightInput> = {}, ledger: Ledger = []) =>
    changeBy(ledger, hand(hands), 3_900, reading(3_895, input));

  it('is the step from what stood there before it to what it left, of a tray without the things on it', () => {
    expect(done({}, { losesGPerMs: 0.5 }, [step('on', 300), step('water', 90)])).toMatchObject({
      ...{ stepG: -100, afterG: 3_900, waterG: WAS_G - 300, losesGPerMs: 0.5 },
      ...{ handMs: QUIET_S * SECOND_MS, unseenMs: 0, reckonedG: 0 },
    });
  });

  it('hides what the tray lost lately, unless nobody weighed it as that came', () => {
    expect(done({ hidesG: 400 }).hidesG).toBe(400);
    expect(done({ hidesG: 400, unseenMs: 1 }).hidesG).toBe(0);
  });

  it('is no part of what was reckoned to dry meanwhile, and of a power cut nobody knows how much that was', () => {
    const dries = { driesGPerMs: 10 / HOUR_MS };
    expect(done({ unseenMs: 3 * HOUR_MS }, dries).reckonedG).toBeCloseTo(30, 9);
    expect(done({ unseenMs: POWER_CUT }, dries).reckonedG).toBe(0);
  });

  it('was done off a bare mat where that is cold as the power comes back, and only then', () => {
    const cold = { matColderK: bareMatK + 0.1 };
    const cut = { unseenMs: POWER_CUT, sinceMs: firstWeightMs };
    expect(done(cut, cold).isMatBare).toBe(true);
    for (const [hands, input] of [
      [cut, { matColderK: bareMatK }],
      [cut, { matColderK: Number.NaN }],
      [{ ...cut, sinceMs: firstWeightMs + 1 }, cold],
      [{ ...cut, unseenMs: 9 * HOUR_MS }, cold],
    ] as const)
      expect(done(hands, input).isMatBare).toBe(false);
  });

  it('and what stood there before it are what the scale says after it', () => {
    const g = fc.integer({ min: 0, max: 6_000 });
    holds(
      fc.property(anyLedger, g, g, fc.nat(HOUR_MS), (ledger, beforeG, restG, unseenMs) => {
        const { waterG, stepG, afterG, reckonedG } = changeBy(
          ledger,
          hand({ beforeG, unseenMs }),
          restG,
          reading(restG, { driesGPerMs: 5 / HOUR_MS }),
        );
        expect(waterG + foreignG(ledger) + stepG).toBe(afterG);
        expect(reckonedG).toBeGreaterThanOrEqual(0);
        expect(reckonedG).toBeLessThanOrEqual(5);
      }),
    );
  });
});

describe('a tray that a hand held beside the scale', () => {
  const held = (stepG: number, hands: Partial<Hand>, ledger: Ledger = []) => {
    const was = hand(hands);
    const restG = was.beforeG + stepG;
    const input = reading(restG);
    return bookDone(ledger, was, changeBy(ledger, was, restG, input), input);
  };
  const TWO_MIN = { awayMs: quietMs };

  it('for two minutes was away, and comes back: it dried there, or got water', () => {
    expect(held(-150, TWO_MIN)).toEqual([]);
    expect(held(-150, { awayMs: quietMs - 1 })).toMatchObject([{ kind: 'off', stepG: -150 }]);
    expect(held(300, TWO_MIN)).toMatchObject([{ kind: 'water', stepG: 300, found: { lessG: 0 } }]);
    expect(held(300, { awayMs: quietMs - 1 })[0]?.found).toBeUndefined();
  });

  it('for seconds was away where it comes back lighter than any lid leaves it', () => {
    const seconds = { awayMs: 5 * SECOND_MS };
    expect(held(-goesMostG - 1, seconds)).toEqual([]);
    expect(held(-goesMostG, seconds)).toMatchObject([{ kind: 'off' }]);
    expect(held(-goesMostG - 1, {})).toMatchObject([{ kind: 'off' }]);
  });

  it('is judged as any step where it is off still, was away before, or nobody had weighed it', () => {
    expect(held(-150, { ...TWO_MIN, wentMs: CAME_MS })).toMatchObject([{ kind: 'off' }]);
    expect(held(-150, { ...TWO_MIN, unseenMs: 1_000 })).toMatchObject([{ kind: 'off' }]);
    const away = [step('tray', -WAS_G)];
    expect(kindsOf(held(200, { ...TWO_MIN, beforeG: 0 }, away))).toEqual(['tray', 'on']);
  });

  it('and is too light to be it, is a step like any: there may be no tray', () => {
    expect(held(-700, TWO_MIN)).toMatchObject([{ kind: 'off', stepG: -700 }]);
  });

  it('is as dry as it weighs, as far as wool may have dried there', () => {
    const lostG = fc.integer({ min: -600, max: 590 });
    const ms = fc.integer({ min: quietMs, max: HOUR_MS });
    holds(
      fc.property(lostG, ms, (changeG, awayMs) => {
        const ledger = held(changeG, { awayMs });
        expect(foreignG(ledger)).toBe(0);
        expect(ledger.length).toBe(changeG > WEIGHT_LIMITS.matchG ? 1 : 0);
      }),
    );
  });
});

describe('a hand that is over', () => {
  const over = (
    hands: Partial<Hand>,
    restG: number,
    input: Partial<WeightInput> = {},
    ledger: Ledger = [],
  ) => bookHand(ledger, hand(hands), restG, reading(restG, input));
  const FLOODED_G = TRAY.capacityG + 300;

  it('took what went at once; where a flood ran off meanwhile, the rest is that', () => {
    const lid = { beforeG: FLOODED_G, jerkedG: -350, jerked: true };
    expect(over(lid, FLOODED_G - 550)).toMatchObject([{ kind: 'off', stepG: -350 }]);
    // No more than stood above capacity, nor less than may be no flood at all; nor on a scale that trembles.
    expect(over(lid, FLOODED_G - 675)).toMatchObject([{ kind: 'off', stepG: -675 }]);
    expect(over(lid, FLOODED_G - 365)).toMatchObject([{ stepG: -365 }]);
    const unseen = { ...lid, unseenMs: MINUTE_MS };
    expect(over(unseen, FLOODED_G - 550)[0]?.stepG).not.toBe(-350);
    const trembles = { ...lid, trembling: beginsToTremble(reading(FLOODED_G, { noisyG: 5 })) };
    expect(over(trembles, FLOODED_G - 550)[0]?.stepG).toBe(-550);
    expect(over({ ...lid, jerkedG: -15 }, FLOODED_G - 200)).toMatchObject([
      { kind: 'water', stepG: -200 },
    ]);
  });

  it('leaves a thing in the place of a tray that it has off the scale, where that is too light to be it', () => {
    expect(over({ wentMs: CAME_MS }, 2_000)).toMatchObject([
      { kind: 'tray', stepG: -WAS_G },
      { kind: 'on', stepG: 2_000 },
    ]);
    expect(kindsOf(over({ wentMs: CAME_MS }, 0))).toEqual(['tray']);
    expect(kindsOf(over({}, 2_000))).toEqual(['off']);
  });

  it('held it beside a cloth that draws on, where the tray falls on faster than it dries', () => {
    const held = { awayMs: 10 * MINUTE_MS, sinceMs: CAME_MS - 8 * MINUTE_MS, beforeG: 3_000 };
    const back = (fallsG: number) => over(held, 2_300, { grams: 2_300 - fallsG });
    // 20 g in two minutes are 100 g in the ten that it was away.
    expect(back(20)).toEqual([]);
    expect(back(7)).toMatchObject([{ kind: 'off', stepG: -700 }]);
  });

  it('found a tray that had lost at such a pace while nobody weighed it, where it falls on so', () => {
    const found = (fallsG: number) =>
      over({ unseenMs: HOUR_MS }, WAS_G - 200, { grams: WAS_G - 200 - fallsG });
    expect(found(10)).toEqual([]);
    // As much may be its drying: then something was taken off.
    expect(found(7)).toMatchObject([{ kind: 'off', stepG: -200 }]);
  });

  it('leaves a tray that was lifted away, whatever stands there, and never more steps than there is room for', () => {
    const g = fc.integer({ min: 0, max: 6_000 });
    holds(
      fc.property(anyLedger, g, g, fc.boolean(), (ledger, beforeG, restG, went) => {
        const jerkedG = restG - beforeG;
        const now = over(
          { beforeG, jerkedG, jerked: true, wentMs: went ? CAME_MS : null },
          restG,
          {},
          ledger,
        );
        expect(now.length).toBeLessThanOrEqual(WEIGHT_LIMITS.ledgerMax);
        if (went) expect(isTrayAway(now)).toBe(true);
      }),
      { numRuns: 300 },
    );
  });

  it('on a tray with nothing else leaves it no wetter than the wetter of before and after', () => {
    const g = fc.integer({ min: TRAY.dryG, max: TRAY.capacityG });
    const jerk = fc.integer({ min: -1_000, max: 1_000 });
    holds(
      fc.property(g, g, jerk, (beforeG, restG, jerkedG) => {
        const now = over({ beforeG, jerkedG, jerked: true }, restG);
        fc.pre(!isTrayAway(now));
        const waterG = restG - foreignG(now);
        expect(waterG).toBeLessThanOrEqual(Math.max(beforeG, restG));
        expect(waterG).toBeGreaterThanOrEqual(Math.min(beforeG, restG));
      }),
    );
  });
});
