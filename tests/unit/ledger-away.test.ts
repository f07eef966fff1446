import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  foreignG,
  isTrayAway,
  type Ledger,
  matchG,
  pouredG,
  sumG,
} from '../../firmware/control/ledger';
import {
  besideMs,
  isAbsent,
  isMoreThanGoes,
  mayBeBack,
  ownWater,
  stayedBeside,
} from '../../firmware/control/ledger-away';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { anyLedger, anyLedgerOf, anyStepOf, RANGE_G, step } from './any-ledger';
import { TRAY } from './tray-on-scale';

const { capacityG, dryG } = TRAY;
const UNKNOWN = { capacityG: Number.NaN, dryG: Number.NaN, plantsG: 0 };
const { awayDriedShare, awayDriedSharePerH, lidMostG } = WEIGHT_LIMITS;
/** It went with 4 kg of tray and water, and was beside the scale for an hour. */
const WENT_G = 4_000;
const LEAST_G = WENT_G - (awayDriedShare + awayDriedSharePerH) * RANGE_G;
const CLOTH_G_PER_MS = 100 / (10 * MINUTE_MS);

describe('too little to be the tray', () => {
  it('is less than half of the dry tray besides the largest thing on the scale; of no known tray nothing is', () => {
    expect(isAbsent([], dryG / 2, dryG)).toBe(false);
    expect(isAbsent([], dryG / 2 - 1, dryG)).toBe(true);
    const things = [step('on', 300), step('on', 900)];
    expect(isAbsent(things, 900 + dryG / 2, dryG)).toBe(false);
    expect(isAbsent(things, 900 + dryG / 2 - 1, dryG)).toBe(true);
    expect(isAbsent([], 0, Number.NaN)).toBe(false);
  });

  it('is nothing that weighs as much as the dry tray and a thing, and less than that all the more', () => {
    holds(
      fc.property(anyLedger, fc.nat(6_000), fc.nat(900), (ledger, grams, moreG) => {
        if (isAbsent(ledger, grams + moreG, dryG)) expect(isAbsent(ledger, grams, dryG)).toBe(true);
        const thingsG = sumG(ledger.filter(({ kind }) => kind === 'on'));
        expect(isAbsent(ledger, dryG + thingsG + grams, dryG)).toBe(false);
      }),
    );
  });
});

describe('more than may go from a tray at once', () => {
  const isMore = (fellG: number, ledger: Ledger = [], waterG = WENT_G, possible = TRAY) =>
    isMoreThanGoes(ledger, fellG, waterG, possible);

  it('is more than a lid, the things on it, and what was poured or its flood, which are the same water', () => {
    const stood = [step('on', 400), step('water', 300), step('off', -350)];
    expect(isMore(lidMostG)).toBe(false);
    expect(isMore(lidMostG + 1)).toBe(true);
    expect(isMore(lidMostG + 700, stood)).toBe(false);
    expect(isMore(lidMostG + 701, stood)).toBe(true);
    expect(isMore(lidMostG + 900, stood, capacityG + 500)).toBe(false);
    expect(isMore(lidMostG + 901, stood, capacityG + 500)).toBe(true);
    expect(isMore(lidMostG + 1, [], capacityG + 500, UNKNOWN)).toBe(true);
  });

  it('is no lid, and all the more the more goes; a thing that stood there goes with it', () => {
    holds(
      fc.property(anyLedger, fc.nat(6_000), fc.nat(900), (ledger, fellG, moreG) => {
        if (fellG <= lidMostG) expect(isMore(fellG, ledger)).toBe(false);
        if (!isMore(fellG, ledger)) return;
        expect(isMore(fellG + moreG, ledger)).toBe(true);
        expect(isMore(fellG + moreG, [...ledger, step('on', moreG)])).toBe(true);
      }),
    );
  });
});

describe('water that was no thing', () => {
  const gently = step('water', 200, { flowed: true });
  const ranOff = step('water', 700, { flowed: true, ranOff: true });
  const poured = step('water', 200);
  /** It filled three quarters of the wool, and left the tray at capacity. */
  const soaking = step('water', 3_000, { afterG: capacityG });

  it('is what came gently, as no thing does, and not what came at once and ran off in part', () => {
    expect(ownWater([step('on', 90), gently, ranOff, poured], TRAY)).toEqual([gently]);
    expect(ownWater([gently, poured], UNKNOWN)).toEqual([gently]);
    expect(ownWater([{ ...soaking, flowed: true, ranOff: true }], TRAY)).toEqual([]);
  });

  it('is a soaking, as nearly as a capacity is known, and what was poured before it', () => {
    expect(ownWater([poured, soaking, poured], TRAY)).toEqual([poured, soaking]);
    const nearG = WEIGHT_LIMITS.standsShare * RANGE_G;
    for (const [offG, own] of [
      [nearG - 1, 1],
      [nearG + 1, 0],
      [-nearG + 1, 1],
      [-nearG - 1, 0],
    ] as const)
      expect(ownWater([{ ...soaking, afterG: capacityG + offG }], TRAY)).toHaveLength(own);
    // What stands on the tray besides is no part of its capacity.
    expect(ownWater([step('on', 300), soaking], TRAY)).toEqual([]);
    const beside = { ...soaking, afterG: capacityG + 300 };
    expect(ownWater([step('on', 300), beside], TRAY)).toEqual([beside]);
  });

  it('is no little water that just leaves the tray full', () => {
    const littleG = (WEIGHT_LIMITS.standsShare * RANGE_G) / WEIGHT_LIMITS.soakingStandsShare;
    expect(ownWater([step('water', littleG - 1, { afterG: capacityG })], TRAY)).toEqual([]);
    expect(ownWater([step('water', littleG + 1, { afterG: capacityG })], TRAY)).toHaveLength(1);
  });

  it('came, and passes for water; and what is poured or put on later makes no thing of it', () => {
    const full = fc.constant(soaking);
    const any = fc.array(fc.oneof(anyStepOf('off', 'on', 'water', 'gone'), full), { maxLength: 5 });
    holds(
      fc.property(any, anyStepOf('on', 'off', 'water'), (ledger, later) => {
        const own = ownWater(ledger, TRAY);
        expect(pouredG(own)).toBe(sumG(own));
        expect(own.every((one) => one.kind === 'water' && ledger.includes(one))).toBe(true);
        expect(ownWater([...ledger, later], TRAY)).toEqual(expect.arrayContaining([...own]));
        for (const one of ledger) if (one.flowed && !one.ranOff) expect(own).toContain(one);
      }),
    );
  });
});

describe('what stands where a tray stood', () => {
  const mayBe = (
    grams: number,
    {
      ledger = [] as Ledger,
      waterG = WENT_G,
      possible = TRAY,
      awayMs = HOUR_MS,
      losesGPerMs = 0,
    } = {},
  ) => mayBeBack(ledger, grams, waterG, possible, { awayMs, losesGPerMs });

  it('may be the tray where it is lighter by no more than wool dries in so long, and a cloth draws', () => {
    expect(mayBe(Math.ceil(LEAST_G))).toBe(true);
    expect(mayBe(Math.floor(LEAST_G))).toBe(false);
    expect(mayBe(LEAST_G - 100, { awayMs: 2 * HOUR_MS })).toBe(true);
    expect(mayBe(LEAST_G - 599, { losesGPerMs: CLOTH_G_PER_MS })).toBe(true);
    expect(mayBe(LEAST_G - 601, { losesGPerMs: CLOTH_G_PER_MS })).toBe(false);
    // Evaporation alone takes less; and what draws from a full tray may be its flood, and ends.
    expect(mayBe(LEAST_G - 200, { losesGPerMs: 35 / (10 * MINUTE_MS) })).toBe(false);
    const fullLeastG = capacityG - (WENT_G - LEAST_G);
    expect(mayBe(fullLeastG - 1, { waterG: capacityG, losesGPerMs: CLOTH_G_PER_MS })).toBe(false);
  });

  it('may have lost its flood there besides: that is no water that it held', () => {
    const flooded = { waterG: capacityG + 500 };
    expect(mayBe(capacityG - (WENT_G - LEAST_G), flooded)).toBe(true);
    expect(mayBe(capacityG - (WENT_G - LEAST_G) - 1, flooded)).toBe(false);
  });

  it('is no tray where it is lighter than that is dry, without its plants', () => {
    const dry = { waterG: dryG + 100 };
    const leastG = dryG - matchG(dryG);
    expect(mayBe(leastG, dry)).toBe(true);
    expect(mayBe(leastG - 1, dry)).toBe(false);
    expect(mayBe(leastG - 45, { ...dry, possible: { ...TRAY, plantsG: 50 } })).toBe(true);
  });

  it('may be lighter by what was poured, or may have gone, and by nothing of its own water but what stands too high', () => {
    const light = LEAST_G - 199;
    expect(mayBe(light, { ledger: [step('water', 200)] })).toBe(true);
    expect(mayBe(light, { ledger: [step('gone', 200)] })).toBe(true);
    expect(mayBe(light, { ledger: [step('on', 200)] })).toBe(false);
    const gently = step('water', 200, { flowed: true });
    expect(mayBe(light, { ledger: [gently] })).toBe(false);
    expect(mayBe(0.85 * WENT_G - 199, { ledger: [gently], possible: UNKNOWN })).toBe(true);
  });

  it('may be the tray without what was taken off before it went, and what it weighs alone is less', () => {
    const ledger = [step('off', -350)];
    expect(mayBe(LEAST_G - 349, { ledger })).toBe(true);
    expect(mayBe(LEAST_G - 351, { ledger })).toBe(false);
  });

  it('may be it as it went, and all the more the heavier it is and the longer it was away', () => {
    const waterG = fc.integer({ min: dryG, max: capacityG });
    const ms = fc.nat(20 * HOUR_MS);
    holds(
      fc.property(
        anyLedger,
        waterG,
        fc.nat(6_000),
        ms,
        ms,
        (ledger, wentG, grams, awayMs, moreMs) => {
          const missingG = foreignG(ledger.filter(({ kind }) => kind !== 'on'));
          expect(mayBe(wentG + missingG, { ledger, waterG: wentG, awayMs: 0 })).toBe(true);
          if (!mayBe(grams, { ledger, waterG: wentG, awayMs })) return;
          expect(mayBe(grams + 100, { ledger, waterG: wentG, awayMs })).toBe(true);
          expect(mayBe(grams, { ledger, waterG: wentG, awayMs: awayMs + moreMs })).toBe(true);
          expect(grams - missingG).toBeGreaterThanOrEqual(dryG - matchG(dryG));
        },
      ),
    );
  });
});

describe('things that stood beside a tray that goes', () => {
  const things = [step('on', 600), step('on', 250), step('on', 400)];
  const [first, second, third] = things;

  it('are those that weigh what is left, as nearly as any do', () => {
    const ledger = [...things, step('water', 850), step('off', -350)];
    expect(stayedBeside(ledger, 650)).toEqual([second, third]);
    expect(stayedBeside(ledger, 845)).toEqual([first, second]);
    expect(stayedBeside(ledger, 1_260)).toEqual(things);
    expect(stayedBeside([step('on', 605), step('on', 600)], 604)).toEqual([step('on', 605)]);
    for (const leftG of [0, 700, 1_261]) expect(stayedBeside(ledger, leftG)).toBeNull();
  });

  it('are told wherever some of them weigh just that, and weigh no more nor less by more than 10 g', () => {
    const some = anyLedgerOf('on', 'off', 'water').chain((ledger) =>
      fc.tuple(
        fc.constant(ledger),
        fc.subarray(ledger.filter(({ kind }) => kind === 'on')),
        fc.integer({ min: -40, max: 40 }),
      ),
    );
    holds(
      fc.property(some, ([ledger, stayed, offG]) => {
        const leftG = sumG(stayed) + offG;
        const told = stayedBeside(ledger, leftG);
        const mostOffG = Math.min(WEIGHT_LIMITS.matchG, Math.abs(offG));
        if (stayed.length > 0 && Math.abs(offG) <= mostOffG) expect(told).not.toBeNull();
        if (told === null) return;
        expect(told.every((one) => one.kind === 'on' && ledger.includes(one))).toBe(true);
        expect(Math.abs(sumG(told) - leftG)).toBeLessThanOrEqual(WEIGHT_LIMITS.matchG);
        if (stayed.length > 0 && offG === 0) expect(sumG(told)).toBe(leftG);
      }),
      { numRuns: 300 },
    );
  });
});

describe('for how long a tray was beside its scale', () => {
  const went = step('tray', -WENT_G, { atMs: 10_000 });

  it('is told as it is back, and is nothing while it is away, or where it never was', () => {
    expect(besideMs([step('on', 90), went], [], 70_000)).toBe(60_000);
    expect(besideMs([went], [went, step('on', 90)], 70_000)).toBe(0);
    expect(besideMs([], [], 70_000)).toBe(0);
    expect(besideMs([], [went], 70_000)).toBe(0);
  });

  it('is never less than nothing, nor longer than since it went', () => {
    const any = anyLedgerOf('on', 'off', 'tray', 'water');
    holds(
      fc.property(any, any, fc.integer({ min: HOUR_MS, max: 9 * HOUR_MS }), (ledger, now, ms) => {
        const forMs = besideMs(ledger, now, ms);
        expect(forMs).toBeGreaterThanOrEqual(0);
        expect(forMs > 0).toBe(isTrayAway(ledger) && !isTrayAway(now));
        const sinceMs = Math.min(...ledger.map(({ atMs }) => atMs));
        if (forMs > 0) expect(forMs).toBeLessThanOrEqual(ms - sinceMs);
      }),
    );
  });
});
