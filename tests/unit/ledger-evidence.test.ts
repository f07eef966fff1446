import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Ledger, STEP_KINDS, type Step, type StepKind } from '../../firmware/control/ledger';
import {
  isDraining,
  withDrained,
  withDrainedTo,
  withFilling,
  withFloodGone,
  withNothingMissing,
  withStanding,
} from '../../firmware/control/ledger-evidence';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { TRAY } from './tray-on-scale';

const { capacityG } = TRAY;
const rangeG = TRAY.capacityG - TRAY.dryG;
const { drainedMs, drainedG, standsMs } = WEIGHT_LIMITS;
/** It lost nothing before. */
const STILL = { ...TRAY, losesGPerMs: 0 };

/** A step at the start, that ended at `afterG`. */
const step = (kind: StepKind, stepG: number, afterG: number): Step => ({
  kind,
  stepG,
  afterG,
  atMs: 0,
});

describe('what came on the tray', () => {
  it('may drain for twenty minutes, thing or water; a thing taken off does not', () => {
    for (const kind of ['on', 'water'] as const) {
      expect(isDraining([step(kind, 300, 4_300)], drainedMs)).toBe(true);
      expect(isDraining([step(kind, 300, 4_300)], drainedMs + 1)).toBe(false);
      expect(isDraining([step(kind, 300, Number.NaN)], 0)).toBe(false);
    }
    expect(isDraining([step('off', -350, 3_650)], 0)).toBe(false);
    expect(isDraining([], 0)).toBe(false);
  });

  it('may drain where less was taken off than stood there: that may have been water poured', () => {
    const thing = step('on', 600, 4_600);
    expect(isDraining([thing, step('off', -400, 4_200)], 0)).toBe(true);
    expect(isDraining([thing, step('off', -590, 4_010)], 0)).toBe(false);
  });

  it('and goes on rising by itself is water that runs in: it may drain from then on', () => {
    const ledger = [step('on', 300, 4_300)];
    expect(withFilling(ledger, 2, 4_302, 5_000)).toEqual([
      { ...step('on', 300, 4_302), atMs: 5_000 },
    ]);
    // More at once is a dose; and what does not rise, or not above its highest, runs in no longer.
    expect(withFilling(ledger, WEIGHT_LIMITS.restlessG + 0.1, 4_304, 5_000)).toBe(ledger);
    expect(withFilling(ledger, 0, 4_302, 5_000)).toBe(ledger);
    expect(withFilling(ledger, 2, 4_300, 5_000)).toBe(ledger);
    expect(withFilling(ledger, 2, 4_302, drainedMs + 1)).toBe(ledger);
  });
});

describe('a thing that shrinks', () => {
  it('by more than 15 g in its first seconds was water', () => {
    const ledger = [step('on', 900, 5_300)];
    expect(withDrained(ledger, 5_300 - drainedG, STILL, MINUTE_MS / 2)).toBe(ledger);
    expect(withDrained(ledger, 5_284.9, STILL, MINUTE_MS / 2)).toMatchObject([
      { kind: 'water', stepG: 900, flowed: true },
    ]);
    expect(withDrained(ledger, 4_900, STILL, drainedMs)).not.toBe(ledger);
    expect(withDrained(ledger, 4_900, STILL, drainedMs + 1)).toBe(ledger);
  });

  it('by less than half in twenty minutes of what stands above the wool with it tells nothing: a cloth draws so', () => {
    const aboveG = 2_000;
    const thing = step('on', aboveG + 500, capacityG + aboveG);
    const drawn = (g: number) =>
      withDrained([thing], capacityG + aboveG - g, STILL, drainedMs)[0]?.kind;
    const leastG = aboveG / 2;
    expect(drawn(leastG - 1)).toBe('on');
    expect(drawn(leastG + 1)).toBe('water');
  });

  it('by no more than what stood above the wool before it came tells nothing', () => {
    const floodG = 104;
    const afterG = capacityG + floodG + 900;
    const ledger = [step('on', 900, afterG)];
    expect(withDrained(ledger, afterG - floodG - drainedG, STILL, MINUTE_MS / 2)).toBe(ledger);
    expect(withDrained(ledger, afterG - floodG - drainedG - 1, STILL, MINUTE_MS / 2)).toMatchObject(
      [{ kind: 'water' }],
    );
  });

  it('was water also where more was sprayed on it: that runs off first', () => {
    const ledger = [step('on', 900, 5_300), { ...step('water', 111, 5_411), atMs: 10_000 }];
    expect(withDrained(ledger, 5_300 - drainedG, STILL, MINUTE_MS / 2)).toBe(ledger);
    expect(withDrained(ledger, 5_284.9, STILL, MINUTE_MS / 2)).toMatchObject([
      { kind: 'water', stepG: 900, flowed: true },
      { kind: 'water', stepG: 111 },
    ]);
    const tipped = [step('on', 900, 5_300), step('water', -100, 5_200)];
    expect(withDrained(tipped, 5_200, STILL, MINUTE_MS)).toBe(tipped);
  });

  it('was taken off as water was poured, where the tray holds more than it can only so', () => {
    const swappedAt = (trayG: number) => {
      const ledger = [step('on', 600, trayG + 600), step('off', -400, trayG + 200)];
      const drained = withDrained(ledger, trayG + 180, STILL, MINUTE_MS);
      return drained === ledger ? 'unchanged' : drained;
    };
    expect(swappedAt(capacityG - 150)).toMatchObject([{ kind: 'water', stepG: 200, flowed: true }]);
    expect(swappedAt(capacityG - 250)).toBe('unchanged');
    expect(swappedAt(capacityG + 50)).toBe('unchanged');
  });

  it('was not, where the tray loses no more than it did before: a cloth draws it', () => {
    // 900 g stood there, and hands leave 4 g less.
    const ledger = [step('on', 900, capacityG + 150), step('off', -4, capacityG + 146)];
    const drawnGPerMin = 9;
    const drawing = { ...TRAY, losesGPerMs: drawnGPerMin / MINUTE_MS };
    const lostAfter = (minutes: number, lostG: number) =>
      withDrained(ledger, capacityG + 146 - lostG, drawing, minutes * MINUTE_MS);
    for (const minutes of [2, 10, 20]) expect(lostAfter(minutes, 9 * (minutes + 2))).toBe(ledger);
    // Nor where it loses a little more, that half of what would stand above the wool does not run off in twenty minutes.
    expect(lostAfter(20, 9 * 22 + 72)).toBe(ledger);
    expect(lostAfter(20, 9 * 22 + 74)).toMatchObject([{ kind: 'water', stepG: 896 }]);
  });

  it('is still there, where the tray loses no more than it did before that came: a cloth draws it', () => {
    const aboveG = 283;
    const ledger = [step('on', 1_082, capacityG + aboveG)];
    const drawnGPerMin = 12;
    const drawing = { ...TRAY, losesGPerMs: drawnGPerMin / MINUTE_MS };
    const lostAfter = (minutes: number, lostG: number) =>
      withDrained(ledger, capacityG + aboveG - lostG, drawing, minutes * MINUTE_MS);
    // It was weighed as the hand had gone, two minutes before that was over.
    for (const minutes of [0, 2, 20]) expect(lostAfter(minutes, 12 * (minutes + 2))).toBe(ledger);
    // And water where half of what stands above the wool runs off besides.
    expect(lostAfter(20, 12 * 22 + 141)).toBe(ledger);
    expect(lostAfter(20, 12 * 22 + 142)).toMatchObject([{ kind: 'water', stepG: 1_082 }]);
  });
});

describe('water that stands above what the wool holds', () => {
  const aboveG = 184;
  const poured = (stepG: number, afterG = capacityG + aboveG) => [step('water', stepG, afterG)];
  const standing = (ledger: Ledger, lostG: number, ms: number) => {
    const afterG = ledger.at(-1)?.afterG ?? Number.NaN;
    return withStanding(ledger, afterG - lostG, TRAY, ms);
  };

  it('for an hour, and has not lost half of that, was a thing', () => {
    const ledger = poured(300);
    expect(standing(ledger, 91, standsMs)).toMatchObject([{ kind: 'on', stepG: 300 }]);
    expect(standing(ledger, 92, standsMs)).toBe(ledger);
    expect(standing(ledger, 0, standsMs - 1)).toBe(ledger);
    expect(standing(ledger, 0, 2 * HOUR_MS + 1)).toBe(ledger);
  });

  it('is water where it came gently, or before this start', () => {
    const gently = [{ ...step('water', 300, capacityG + aboveG), flowed: true as const }];
    expect(standing(gently, 0, standsMs)).toBe(gently);
    const kept = [step('water', 300, Number.NaN)];
    expect(withStanding(kept, capacityG + aboveG, TRAY, standsMs)).toBe(kept);
  });

  it('is water where it stands no higher than a capacity is known, or by little of what filled much of the wool', () => {
    const least = (stepG: number, leastG: number) => {
      const low = poured(stepG, capacityG + leastG - 1);
      expect(standing(low, 0, standsMs)).toBe(low);
      const high = poured(stepG, capacityG + leastG + 1);
      expect(standing(high, 0, standsMs)).toMatchObject([{ kind: 'on', stepG }]);
    };
    const knownToG = WEIGHT_LIMITS.standsShare * rangeG;
    for (const stepG of [150, 300, 600]) least(stepG, knownToG);
    for (const stepG of [700, 1_000, 1_400]) least(stepG, WEIGHT_LIMITS.soakingStandsShare * stepG);
    // A tray soaked from a third of its water on is full, whatever its capacity was thought to be.
    const soaked = poured(0.67 * rangeG, capacityG + WEIGHT_LIMITS.overfillShare * rangeG);
    expect(standing(soaked, 0, standsMs)).toBe(soaked);
  });
});

describe('a tray that has drained', () => {
  const OFF_G = 80;
  const drained = (steps: readonly (readonly [StepKind, number])[], grams: number) =>
    withDrainedTo(
      steps.map(([kind, stepG]) => step(kind, stepG, grams)),
      grams,
      capacityG,
      OFF_G,
    ).map(({ kind }) => kind);

  it('stands at capacity: what would have it stand below was no thing on it, but water', () => {
    expect(drained([['on', 250]], capacityG + OFF_G)).toEqual(['water']);
    expect(drained([['on', 250]], capacityG + OFF_G + 1)).toEqual(['on']);
    expect(drained([['on', 250]], capacityG - OFF_G - 1)).toEqual(['on']);
    // Nobody can tell of what is no more than the capacity is known to.
    expect(drained([['on', OFF_G]], capacityG)).toEqual(['on']);
  });

  it('or above was no thing taken off it', () => {
    expect(drained([['off', -250]], capacityG)).toEqual(['water']);
    expect(drained([['off', -250]], capacityG - 250)).toEqual(['off']);
  });

  it('leaves the things on it that do stand there', () => {
    const things = [
      ['on', 593],
      ['on', 257],
      ['on', 400],
    ] as const;
    expect(drained(things, capacityG + 593 + 400)).toEqual(['on', 'water', 'on']);
    expect(drained(things, capacityG)).toEqual(['water', 'water', 'water']);
    expect(drained(things, capacityG + 593 + 257 + 400)).toEqual(['on', 'on', 'on']);
  });

  it('carries what came later and passed for water, where only so an earlier thing was the flood', () => {
    const flood = ['on', 654] as const;
    const later = ['water', 332] as const;
    expect(drained([flood, later], capacityG + 332)).toEqual(['water', 'on']);
    // Nothing does where the flood alone explains it, or the thing that stands there; nor what came before the flood.
    expect(drained([flood, later], capacityG)).toEqual(['water', 'water']);
    expect(drained([flood, later], capacityG + 654)).toEqual(['on', 'water']);
    expect(drained([later, flood], capacityG + 332)).toEqual(['water', 'on']);
  });

  it('carries no more of what came later than explains it, after a flood that came in two goes', () => {
    const steps = [
      ['on', 200],
      ['on', 454],
      ['water', 120],
      ['water', 332],
    ] as const;
    expect(drained(steps, capacityG + 332)).toEqual(['water', 'water', 'water', 'on']);
  });

  it('and such a thing did not flow', () => {
    const flood = step('on', 654, capacityG);
    const thing: Step = { ...step('water', 332, capacityG), flowed: true };
    expect(withDrainedTo([flood, thing], capacityG + 332, capacityG, OFF_G)).toEqual([
      { ...flood, kind: 'water', flowed: true },
      step('on', 332, capacityG),
    ]);
  });

  it('tells nothing where nobody knows what it holds', () => {
    const thing = [step('on', 250, capacityG)];
    expect(withDrainedTo(thing, capacityG, Number.NaN, OFF_G)).toBe(thing);
  });
});

describe('a thing that may have gone unseen', () => {
  const gone = step('gone', 600, Number.NaN);

  it('stands there where the tray drains to so much more than it holds', () => {
    expect(withDrainedTo([gone], capacityG + 605, capacityG, 80)).toEqual([
      { ...gone, kind: 'on' },
    ]);
  });

  it('went where the tray drains to what it holds, if so much more would show', () => {
    expect(withDrainedTo([gone], capacityG + 20, capacityG, 80)).toEqual([]);
    const light: Ledger = [step('gone', 60, Number.NaN)];
    expect(withDrainedTo(light, capacityG + 20, capacityG, 80)).toBe(light);
  });
});

describe('a tray that has stood above what its wool holds', () => {
  const off = step('off', -350, 4_246);
  const gone = step('gone', 600, Number.NaN);

  it('lacks nothing, or carries what may have gone: the youngest that explains it, or else all', () => {
    expect(withNothingMissing([off], capacityG - 20, TRAY)).toEqual([]);
    expect(withNothingMissing([gone], capacityG + 590, TRAY)).toEqual([{ ...gone, kind: 'on' }]);
    expect(withNothingMissing([gone, off], capacityG - 20, TRAY)).toEqual([gone]);
    expect(withNothingMissing([gone, off], capacityG + 500, TRAY)).toEqual([
      { ...gone, kind: 'on' },
    ]);
  });

  it('carries what came with water that ran off: so much of it was a thing, and the rest water', () => {
    const came: Step = { ...step('water', 1_190, capacityG + 1_190), flowed: true, ranOff: true };
    const shown = withNothingMissing([came], capacityG + 947, TRAY);
    expect(shown).toMatchObject([
      { kind: 'on', stepG: 947 },
      { kind: 'water', stepG: 243, flowed: true },
    ]);
    // Nor once more.
    expect(withNothingMissing(shown, capacityG + 947, TRAY)).toBe(shown);
  });

  it('carries none where that came gently, stands by little of it, or by more than came', () => {
    const gently: Step = { ...step('water', 1_190, capacityG + 1_190), flowed: true };
    const came: Step = { ...gently, ranOff: true };
    for (const [was, aboveG] of [
      [gently, 947],
      [came, 0.13 * 1_190],
      [came, 1_191],
    ] as const) {
      const ledger = [was];
      expect(withNothingMissing(ledger, capacityG + aboveG, TRAY)).toBe(ledger);
    }
  });

  it('tells nothing where none of it explains that, nor where it stands as high as a capacity is known', () => {
    for (const [ledger, grams] of [
      [[off], capacityG + 400],
      [[off], capacityG - 350 + 0.01 * rangeG],
      [[step('on', 300, 4_800)], capacityG + 700],
    ] as const) {
      expect(withNothingMissing(ledger, grams, TRAY)).toBe(ledger);
    }
    const ledger = [off];
    expect(withNothingMissing(ledger, 4_500, { ...TRAY, capacityG: Number.NaN })).toBe(ledger);
  });
});

describe('a flood that was lost in one piece', () => {
  const lost = [step('water', -350, capacityG + 150)];
  const lacking = (lacksG: number, ms = 10 * MINUTE_MS) =>
    withFloodGone(lost, capacityG - lacksG, TRAY, ms);

  it('was a thing taken off, where all of the flood runs off besides', () => {
    expect(lacking(350)).toMatchObject([{ kind: 'off', stepG: -350 }]);
    expect(lacking(340)).toMatchObject([{ kind: 'off' }]);
  });

  it('was the flood where the tray lacks less than that, or has had the time to dry by it', () => {
    expect(lacking(339)).toBe(lost);
    expect(lacking(350, 2 * HOUR_MS)).toBe(lost);
    const poured = [step('water', 350, capacityG + 350)];
    expect(withFloodGone(poured, 4_000, TRAY, MINUTE_MS)).toBe(poured);
  });
});

describe('whatever shows of the steps', () => {
  it('says what they were, and never changes what they weigh in all', () => {
    const sumG = (ledger: Ledger) => ledger.reduce((sum, { stepG }) => sum + stepG, 0);
    const grams = fc.double({ min: 3_000, max: 7_000, noNaN: true });
    const anyStep = fc.record({
      kind: fc.constantFrom(...STEP_KINDS),
      stepG: fc.integer({ min: -1_500, max: 1_500 }),
      afterG: grams,
      atMs: fc.nat(HOUR_MS),
    });
    const anyLedger = fc.array(anyStep, { maxLength: WEIGHT_LIMITS.ledgerMax });
    holds(
      fc.property(anyLedger, grams, fc.nat(3 * HOUR_MS), (ledger, nowG, ms) => {
        for (const shown of [
          withFilling(ledger, 1, nowG, ms),
          withDrained(ledger, nowG, STILL, ms),
          withStanding(ledger, nowG, TRAY, ms),
          withFloodGone(ledger, nowG, TRAY, ms),
        ]) {
          expect(sumG(shown)).toBe(sumG(ledger));
          expect(shown.length).toBeLessThanOrEqual(ledger.length);
        }
      }),
      { numRuns: 1_000 },
    );
  });
});
