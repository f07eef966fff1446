import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { withFlow } from '../../firmware/control/flowing';
import type { Hand } from '../../firmware/control/handling';
import { foreignG, type Ledger, pouredG } from '../../firmware/control/ledger';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { CAME_MS, hand, reading, WAS_G } from './any-hand';
import { anyLedger, step } from './any-ledger';
import { TRAY } from './tray-on-scale';

/** It moved for as long as no hand takes. */
const SLOWLY = { quietSinceMs: CAME_MS + WEIGHT_LIMITS.flowsMs };
const flow = (changeG: number, hands: Partial<Hand> = SLOWLY, ledger: Ledger = [], noisyG = 0) =>
  withFlow(ledger, hand(hands), WAS_G + changeG, reading(WAS_G + changeG, { noisyG }));
const ran = (stepG: number) => [
  { kind: 'water', stepG, afterG: WAS_G + stepG, atMs: reading(0).uptimeMs, flowed: true },
];

describe('what moved the weight gently while hands were there', () => {
  it('is water that ran in, or off, where it took a minute or more; sooner it was a hand', () => {
    expect(flow(200)).toEqual(ran(200));
    expect(flow(-200)).toEqual([]);
    const sooner = { quietSinceMs: SLOWLY.quietSinceMs - 1 };
    expect([200, -200].map((g) => flow(g, sooner))).toEqual([null, null]);
  });

  it('is water still where hands did less than a quarter of that besides, and theirs where more', () => {
    expect(flow(250, { ...SLOWLY, jerkedG: 50 })).toEqual(ran(250));
    expect(flow(251, { ...SLOWLY, jerkedG: 51 })).toBeNull();
    expect(flow(150, { ...SLOWLY, jerkedG: -50 })).toEqual(ran(150));
    // What they put on is not water that ran off since.
    expect(flow(100, { ...SLOWLY, jerkedG: 400 })).toBeNull();
    expect(flow(0, SLOWLY)).toBeNull();
  });

  it('runs off in less where something came that may drain: that was water then', () => {
    const atMs = CAME_MS - MINUTE_MS;
    const beforeG = TRAY.capacityG + 400;
    const came = step('on', 500, { afterG: beforeG, atMs });
    const drains = { beforeG, quietSinceMs: CAME_MS };
    const restG = beforeG - 200;
    expect(withFlow([came], hand(drains), restG, reading(restG))).toEqual([
      { ...came, kind: 'water', flowed: true, ranOff: true },
    ]);
    // Nothing runs in sooner for that; nor does what has stood there for long.
    expect(withFlow([came], hand(drains), beforeG + 200, reading(beforeG + 200))).toBeNull();
    const longAgo = { ...came, atMs: atMs - WEIGHT_LIMITS.drainedMs };
    expect(withFlow([longAgo], hand(drains), restG, reading(restG))).toBeNull();
  });

  it('in the place of a tray that is away is none of its water', () => {
    const away = step('tray', -WAS_G);
    expect(flow(200, SLOWLY, [away])).toMatchObject([away, { kind: 'on', stepG: 200 }]);
  });

  it('on a scale that trembles is a fall, however soon, and a rise only where a hand would have been told', () => {
    expect(flow(-40, {}, [], 5)).toEqual([]);
    // Twice what a hand has to do at once there, and 30 g that flow meanwhile.
    expect(flow(50, SLOWLY, [], 5)).toBeNull();
    expect(flow(51, {}, [], 5)).toEqual(ran(51));
  });

  const anyHand = fc.record({
    jerkedG: fc.integer({ min: -800, max: 800 }),
    quietSinceMs: fc.integer({ min: CAME_MS, max: CAME_MS + 3 * MINUTE_MS }),
  });
  const g = fc.integer({ min: -800, max: 800 });

  it('makes a tray that stands there no drier than it was seen to be, and puts no thing on it', () => {
    holds(
      fc.property(
        anyLedger,
        anyHand,
        g,
        fc.constantFrom(0, 5, 40),
        (ledger, hands, changeG, noisyG) => {
          const now = flow(changeG, hands, ledger, noisyG);
          if (now === null) return;
          expect(now.length).toBeLessThanOrEqual(WEIGHT_LIMITS.ledgerMax);
          if (changeG > 0) expect(foreignG(now)).toBe(foreignG(ledger));
          if (ledger.length < WEIGHT_LIMITS.ledgerMax && changeG > 0)
            expect(pouredG(now)).toBe(pouredG(ledger) + changeG);
          if (changeG < 0) expect(now.length).toBeLessThanOrEqual(ledger.length);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('is none where all of it came at once, and in doubt on a scale that trembles no water came', () => {
    holds(
      fc.property(
        anyLedger,
        anyHand,
        g,
        fc.constantFrom(0, 5, 40),
        (ledger, hands, changeG, noisyG) => {
          expect(flow(changeG, { ...hands, jerkedG: changeG }, ledger, noisyG)).toBeNull();
          const doubtfulG = Math.min(Math.abs(changeG), 2 * WEIGHT_LIMITS.noisyJumpSigmas * noisyG);
          if (noisyG > 0) expect(flow(doubtfulG, hands, ledger, noisyG)).toBeNull();
        },
      ),
    );
  });
});
