import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Hand, isOnTray, movedAgain, nextHand } from '../../firmware/control/handling';
import { momentsFrom } from '../../firmware/control/jerks';
import { EMPTY_LEDGER, type Ledger } from '../../firmware/control/ledger';
import { beginsToTremble } from '../../firmware/control/trembling';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS, SECOND_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { CAME_MS, hand, reading, WAS_G } from './any-hand';
import { step } from './any-ledger';

/** The same hand as the scale reads such weights, a second apart. */
function seen(weightsG: readonly number[], first = hand(), ledger: Ledger = EMPTY_LEDGER): Hand {
  return weightsG.reduce((before, grams, i) => {
    const uptimeMs = first.sinceMs + (i + 1) * SECOND_MS;
    return nextHand(ledger, before, reading(grams, { uptimeMs })).hand;
  }, first);
}
const afterS = (seconds: number): number => CAME_MS + seconds * SECOND_MS;

describe('a hand at the tray', () => {
  const trembling = beginsToTremble(reading(WAS_G, { noisyG: 5 }));

  it('is on it where it moved the weight at once, the tray stands there, and the scale does not tremble', () => {
    const there = hand({ jerked: true });
    expect(isOnTray(there)).toBe(true);
    for (const other of [{ jerked: false }, { wentMs: CAME_MS }, { trembling }])
      expect(isOnTray({ ...there, ...other })).toBe(false);
  });

  it('did at once what moved by more than 5 g in a second; what flows is no part of it', () => {
    const poured = Array.from({ length: 30 }, (_, s) => 4_200 + 5 * (s + 1));
    expect(seen([4_200, ...poured])).toMatchObject({ jerkedG: 200, jerked: true });
    expect(seen(poured.map((g) => g - 200))).toMatchObject({ jerkedG: 0, jerked: false });
    expect(seen([4_200, 4_194])).toMatchObject({ jerkedG: 194 });
  });

  it('stood last where the weight moved by no more than 100 g, and before that where it did elsewhere', () => {
    const levels = seen([4_050, 4_500, 4_505, 4_490, 4_100, 4_100, 4_095]);
    expect(levels).toMatchObject({ levelG: 4_095, otherLevelG: 4_490 });
  });

  it('has the tray off the scale from when more went than a lid and what was poured, until it may be back', () => {
    const off = seen([WAS_G, 0, 5, 0]);
    expect(off).toMatchObject({ wentMs: afterS(2), awayMs: 0 });
    expect(seen([WAS_G, 0, 5, 0, 3_900])).toMatchObject({ wentMs: null, awayMs: 3 * SECOND_MS });
    expect(seen([WAS_G, 0, 5, 0, 3_000]).wentMs).toBe(afterS(2));
    // So it is where what is left may be a light tray: no lid weighs what went.
    expect(seen([WAS_G, 300]).wentMs).toBe(afterS(2));
    // What went by itself is no tray; nor is a lid with all it may weigh.
    const leak = Array.from({ length: 440 }, (_, s) => WAS_G - 4 * (s + 1));
    expect(seen(leak).wentMs).toBeNull();
    expect(seen([WAS_G - WEIGHT_LIMITS.lidMostG]).wentMs).toBeNull();
  });

  it('has it off as it falls by what the tray weighs from where it stood, whatever the hand had put there before', () => {
    const small = { beforeG: 1_300, lastG: 1_300, fromG: 1_300, levelG: 1_300, otherLevelG: 1_300 };
    expect(seen([1_600, 1_600, 300], hand(small)).wentMs).toBeNull();
    expect(seen([1_600, 1_600, 300, 300], hand(small)).wentMs).toBe(afterS(4));
    // By less it may be a lid.
    expect(seen([1_600, 1_600, 400, 400], hand(small)).wentMs).toBeNull();
  });

  it('has not where the tray was away before: that is judged when the hand is over', () => {
    const away = [step('tray', -WAS_G)];
    expect(seen([300, 0, 0], hand({ beforeG: 0, lastG: 0 }), away).wentMs).toBeNull();
  });

  it('comes to a tray that was found so: what nobody weighed is a step of its own, and none of the hand', () => {
    const found = hand({ unseenMs: HOUR_MS, restG: 3_400, lastG: 3_400 });
    const took = nextHand([step('on', 500)], found, reading(3_300));
    expect(took.ledger).toEqual([step('gone', 500)]);
    expect(took.hand).toMatchObject({ beforeG: 3_400, unseenMs: 0, jerkedG: -100 });
    const still = nextHand([step('on', 500)], found, reading(3_398));
    expect(still.ledger).toEqual([step('on', 500)]);
    expect(still.hand).toMatchObject({ beforeG: WAS_G, unseenMs: HOUR_MS });
  });

  it('on a scale that trembles is told by no single reading', () => {
    const { hand: now } = nextHand(EMPTY_LEDGER, hand(), reading(4_300, { noisyG: 5 }));
    expect(now).toMatchObject({ jerkedG: 0, jerked: false });
    expect(now.trembling).not.toBeNull();
  });

  it('has done a step of its own there by when the weight jumps on from a mean that was found', () => {
    const rested = {
      ...trembling,
      ...{ nearG: 4_300, meanG: 4_300, stoodG: 4_300, foundG: 4_300, offG2: 0.05 },
      moments: momentsFrom(4_300, CAME_MS),
    };
    const put = hand({ trembling: rested, jerkedG: 300, jerked: true, lastG: 4_300 });
    const next = nextHand(EMPTY_LEDGER, put, reading(4_900, { noisyG: 5 }));
    expect(next.ledger).toMatchObject([{ kind: 'water', stepG: 300 }]);
    expect(next.hand.beforeG).toBe(4_300);
    const quiet = nextHand(EMPTY_LEDGER, put, reading(4_303, { noisyG: 5 }));
    expect(quiet.ledger).toEqual([]);
    expect(quiet.hand.beforeG).toBeCloseTo(WAS_G, 0);
  });
});

describe('a hand that moves the weight again', () => {
  it('is quiet from then on, and remembers the pace of what took ten seconds: that drifts', () => {
    const fromMs = CAME_MS + 5_000;
    const before = hand({ fromMs, restG: 3_900, jerkedG: 70 });
    const at = (ms: number) => movedAgain(before, 3_800, fromMs + ms, -0.01);
    expect(at(WEIGHT_LIMITS.driftMs)).toMatchObject({
      ...{ quietSinceMs: fromMs + WEIGHT_LIMITS.driftMs, restG: null },
      ...{ fromG: 3_800, fromMs: fromMs + WEIGHT_LIMITS.driftMs, slopeGPerMs: -0.01 },
    });
    expect(at(WEIGHT_LIMITS.driftMs - 1).slopeGPerMs).toBe(0);
  });
});

describe('whatever a hand does', () => {
  const move = fc.oneof(
    fc.integer({ min: -5, max: 5 }),
    fc.constantFrom(-4_000, -900, -350, -40, -6, 6, 60, 500, 1_200, 4_000),
  );
  const course = fc
    .array(move, { maxLength: 60, size: 'max' })
    .map((moves) => moves.map((_, i) => moves.slice(0, i + 1).reduce((a, b) => a + b, WAS_G)));

  it('all that it did at once is told, all that it did is as long as it was there, and no step is booked', () => {
    holds(
      fc.property(course, (weightsG) => {
        const ledger = [step('on', 300)];
        let now = hand();
        let jerkedG = 0;
        weightsG.forEach((grams, i) => {
          const moveG = grams - now.lastG;
          if (Math.abs(moveG) > WEIGHT_LIMITS.jerkG) jerkedG += moveG;
          const next = nextHand(ledger, now, reading(grams, { uptimeMs: afterS(i + 1) }));
          now = next.hand;
          expect(next.ledger).toBe(ledger);
          expect(now).toMatchObject({ jerkedG, sinceMs: CAME_MS, beforeG: WAS_G, lastG: grams });
          expect(now.awayMs).toBeLessThanOrEqual(i * SECOND_MS);
          if (now.wentMs === null) return;
          expect(now.wentMs).toBeLessThanOrEqual(afterS(i + 1));
          expect(isOnTray(now)).toBe(false);
        });
      }),
      { numRuns: 60 },
    );
  });

  it('by moving again it changes no more than when it was quiet, and from where', () => {
    const ms = fc.nat(60_000);
    const g = fc.integer({ min: 0, max: 6_000 });
    const any = fc.record({
      ...{ beforeG: g, lastG: g, levelG: g, otherLevelG: g, jerkedG: g, hidesG: g },
      ...{ sinceMs: ms, unseenMs: ms, awayMs: ms, fromMs: ms, quietSinceMs: ms },
      jerked: fc.boolean(),
      wentMs: fc.option(ms),
      driesGPerMs: fc.double({ min: 0, max: 1, noNaN: true }),
      trembling: fc.option(fc.constant(beginsToTremble(reading(WAS_G, { noisyG: 5 })))),
    });
    holds(
      fc.property(any, g, ms, (changes, grams, moreMs) => {
        const before = hand(changes);
        const uptimeMs = before.fromMs + moreMs;
        const now = movedAgain(before, grams, uptimeMs, 0.5);
        const { slopeGPerMs } = now;
        const from = { fromG: grams, fromMs: uptimeMs, slopeGPerMs };
        expect(now).toEqual({ ...before, quietSinceMs: uptimeMs, restG: null, ...from });
        expect([0, 0.5]).toContain(slopeGPerMs);
      }),
    );
  });
});
