/** What a tray lost or got while nobody weighed it: how long that was, what dries, and what else may have gone. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  EMPTY_LEDGER,
  FOUND_ANYHOW,
  foreignG,
  isTrayAway,
  type Ledger,
  mayHaveGone,
  sumG,
} from '../../firmware/control/ledger';
import {
  driedShare,
  driedUnseen,
  foundWithin,
  replacedUnseen,
  withOtherInPlace,
} from '../../firmware/control/ledger-unseen';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { anyLedger, anyLedgerOf, change, RANGE_G, step, stoodIn } from './any-ledger';
import { TRAY } from './tray-on-scale';

const { lostUnseenMs, lidMostG } = WEIGHT_LIMITS;
const FOR_EVER = Number.POSITIVE_INFINITY;
const anyMs = fc.nat(48 * HOUR_MS);
/** Nobody weighed it for an hour, and it dries by 3 % of its water at most. */
const HOUR = { unseenMs: HOUR_MS };
const DRIES_G = 0.03 * RANGE_G;
const THING = step('on', 300);

describe('what wool dries by', () => {
  it('is 3 % of its water an hour at most, and never all of it', () => {
    expect([0, HOUR_MS, 10 * HOUR_MS].map(driedShare)).toEqual([0, 0.03, 0.3]);
    expect([16 * HOUR_MS, 99 * HOUR_MS, FOR_EVER].map(driedShare)).toEqual([0.45, 0.45, 0.45]);
  });

  it('grows with the time, and is no more over two times in one than over both apart', () => {
    holds(
      fc.property(anyMs, anyMs, (ms, moreMs) => {
        const both = driedShare(ms + moreMs);
        expect(both).toBeGreaterThanOrEqual(driedShare(ms));
        expect(both).toBeLessThanOrEqual(driedShare(ms) + driedShare(moreMs) + 1e-12);
        expect(both).toBeLessThan(0.5);
      }),
    );
  });
});

describe('another thing in the place of a tray that went', () => {
  const missing = (
    missingG: number,
    ledger: Ledger = EMPTY_LEDGER,
    unseenMs: number = lostUnseenMs,
  ) => replacedUnseen(ledger, change(-missingG, 4_000, { unseenMs }), TRAY);

  it('is what stands there where more is missing than a lid weighs, and a lid no more than the dry tray', () => {
    expect(missing(TRAY.dryG)).toBeNull();
    expect(missing(TRAY.dryG + 1)).toMatchObject([
      { kind: 'tray', stepG: -4_000 },
      { kind: 'on', stepG: 4_000 - TRAY.dryG - 1 },
    ]);
  });

  it('is none where so much stood there or was poured, up to what any lid weighs, nor before ten minutes', () => {
    const stood = [THING, step('water', 200)];
    expect(missing(TRAY.dryG + 500, stood)).toBeNull();
    expect(missing(TRAY.dryG + 501, stood)).not.toBeNull();
    expect(missing(lidMostG + 1, [step('on', 2_000)])).not.toBeNull();
    expect(missing(3_000, [], lostUnseenMs - 1)).toBeNull();
  });

  it('leaves the tray away with the water that it went with, and all that is on the scale told', () => {
    holds(
      fc.property(anyLedger, fc.integer({ min: -3_900, max: -1 }), (ledger, stepG) => {
        const foreignBeforeG = foreignG(ledger);
        const done = change(stepG, 4_000, { afterG: 4_000 + foreignBeforeG + stepG });
        const now = withOtherInPlace(ledger, done);
        expect(isTrayAway(now)).toBe(true);
        expect(done.afterG - foreignG(now)).toBe(4_000);
        expect(sumG(now)).toBe(sumG(ledger) + stepG);
        expect(now.at(-2)?.afterG).toBe(foreignBeforeG);
        // Nobody takes it so where that much may be a lid.
        const replaced = replacedUnseen(ledger, { ...done, ...HOUR }, TRAY);
        if (replaced !== null) expect(replaced).toEqual(now);
        if (-stepG <= TRAY.dryG) expect(replaced).toBeNull();
        else if (-stepG > lidMostG) expect(replaced).not.toBeNull();
      }),
    );
  });
});

describe('a tray that nobody weighed', () => {
  const dried = (lostG: number, more = {}, ledger: Ledger = [], waterG = 4_000) => {
    const goes = [EMPTY_LEDGER, ...ledger.map((one) => [one])];
    return driedUnseen(ledger, goes, change(-lostG, waterG, { ...HOUR, ...more }), TRAY);
  };

  it('dried, as wool may in so long; by more where it lost as much at that pace; by any of it after a power cut', () => {
    expect(dried(DRIES_G)).toEqual([]);
    expect(dried(DRIES_G + 1)).toBeNull();
    expect(dried(DRIES_G + 60, { losesGPerMs: 60 / HOUR_MS })).toEqual([]);
    expect(dried(3_400, { unseenMs: FOR_EVER })).toEqual([]);
    // No leak takes more water than there is.
    const leaks = { losesGPerMs: 600 / HOUR_MS };
    expect(dried(300, leaks, [], TRAY.dryG + 300)).toEqual([]);
    expect(dried(301, leaks, [], TRAY.dryG + 300)).toBeNull();
    expect(dried(3_500, { unseenMs: FOR_EVER })).toBeNull();
  });

  it('lost its flood besides, from ten minutes on', () => {
    const flooded = TRAY.capacityG + 150;
    const tenMinG = DRIES_G / 6;
    expect(dried(150 + tenMinG - 1, { unseenMs: lostUnseenMs }, [], flooded)).toEqual([]);
    expect(dried(150, { unseenMs: lostUnseenMs - MINUTE_MS }, [], flooded)).toBeNull();
  });

  it('was drawn from by a cloth where more is missing than is taken off a tray, and by no more than that draws', () => {
    expect(dried(WEIGHT_LIMITS.goesMostG)).toBeNull();
    expect(dried(WEIGHT_LIMITS.goesMostG + 1)).toEqual([]);
    expect(dried(WEIGHT_LIMITS.drawnMostGPerH)).toEqual([]);
    expect(dried(WEIGHT_LIMITS.drawnMostGPerH + 1)).toBeNull();
  });

  it('lost a thing as well where it dried by less then; one that it may have dried by is only taken to have gone', () => {
    const few = { unseenMs: 5 * MINUTE_MS };
    expect(dried(305, few, [THING])).toEqual([]);
    expect(dried(340, { unseenMs: 10 * HOUR_MS }, [THING])).toEqual([step('gone', 300)]);
    expect(dried(100, { unseenMs: 10 * HOUR_MS }, [THING])).toEqual([THING]);
  });

  it('got water as a thing went only where it had to dry by three times that otherwise, and its pace is known', () => {
    const night = { unseenMs: 8 * HOUR_MS };
    const got = (gotG: number, more = {}) => dried(300 - gotG, { ...night, ...more }, [THING]);
    expect(got(70)).toEqual([step('gone', 300)]);
    expect(got(80)).toEqual([THING]);
    // To have dried by less than was reckoned is no water.
    expect(got(80, { reckonedG: 80 })).toEqual([step('gone', 300)]);
    expect(got(70, { unseenMs: FOR_EVER })).toEqual([THING]);
  });

  it('has lost no more than it may have, of its things one at most, and got no more than a third of what it lacks', () => {
    const lossG = fc.integer({ min: 16, max: 1_500 });
    const paces = fc.constantFrom(0, 50 / HOUR_MS, 300 / HOUR_MS);
    holds(
      fc.property(
        anyLedgerOf('on'),
        lossG,
        anyMs,
        paces,
        (ledger, lostG, unseenMs, losesGPerMs) => {
          const found = dried(lostG, { unseenMs, losesGPerMs }, ledger);
          if (found === null) return;
          const left = found.filter((one) => stoodIn(ledger, one));
          expect(ledger.length - left.length).toBeLessThan(2);
          expect(found.length - left.length).toBe(mayHaveGone(found).length);
          const waterLostG = lostG + foreignG(found) - foreignG(ledger);
          const mostG = driedShare(unseenMs) * RANGE_G + losesGPerMs * unseenMs;
          const drawnG = (unseenMs / HOUR_MS) * WEIGHT_LIMITS.drawnMostGPerH;
          expect(waterLostG).toBeLessThanOrEqual(Math.max(mostG, drawnG));
          // What it got, it got where it had to dry by far more otherwise.
          expect(waterLostG).toBeGreaterThanOrEqual(-Math.max(WEIGHT_LIMITS.matchG, lostG / 3));
        },
      ),
      { numRuns: 400 },
    );
  });
});

describe('a thing that was found', () => {
  const within = (unseenMs: number, more = {}) =>
    foundWithin(change(-100, 4_000, { unseenMs, ...more }), TRAY);

  it('is known to what the tray may have lost beyond what was reckoned, and to all of that; not at all after a power cut', () => {
    const { moreG, lessG } = within(HOUR_MS, { reckonedG: 40 }) ?? FOUND_ANYHOW;
    expect(moreG).toBeCloseTo(DRIES_G - 40, 6);
    expect(lessG).toBe(40);
    expect(within(FOR_EVER)).toBe(FOUND_ANYHOW);
  });

  it('is known as any other where that is no more than one thing may seem another by', () => {
    expect(within(0)).toBeNull();
    expect(within(4 * MINUTE_MS)).toBeNull();
    expect(within(6 * MINUTE_MS)).not.toBeNull();
    expect(within(MINUTE_MS, { reckonedG: 11 })).toEqual({ moreG: 0, lessG: 11 });
  });

  it('is known the less the longer nobody had weighed it', () => {
    holds(
      fc.property(anyMs, anyMs, fc.nat(300), (ms, moreMs, reckonedG) => {
        const sooner = within(ms, { reckonedG });
        const later = within(ms + moreMs, { reckonedG });
        expect(later?.moreG ?? 0).toBeGreaterThanOrEqual(sooner?.moreG ?? 0);
        expect(sooner?.lessG ?? 0).toBeGreaterThanOrEqual(0);
      }),
    );
  });
});
