import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Drainage,
  drainsOn,
  fullG,
  hasDrained,
  isLeftToDrain,
  NOT_WATCHED,
  nextDrainage,
  WATERED,
} from '../../firmware/control/drainage';
import { DRAINAGE_LIMITS, WATER_LIMITS, WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';

/** The weights found in `minutes` after water, or from `before` on, by the weight of each, and what is watched after them. */
function watched(
  minutes: number,
  gramsAt: (minute: number) => number,
  before = WATERED,
): { found: number[]; state: Drainage } {
  const found: number[] = [];
  let state = before;
  for (let i = 0; i < minutes; i++) {
    const step = nextDrainage(state, gramsAt(i));
    state = step.state;
    if (step.capacityG !== null) found.push(step.capacityG);
  }
  return { found, state };
}

/** So much over capacity runs out, halving in 5 min, while the tray dries by `gPerH`. */
const draining = (overG: number, gPerH: number) => (minute: number) =>
  4_600 + overG * 0.5 ** (minute / 5) - (gPerH * minute) / 60;

describe('a tray that may be full', () => {
  const waitMs = WATER_LIMITS.drainWaitMs;

  it('and let a dose run out is left to drain for an hour before the next', () => {
    expect(isLeftToDrain(0, waitMs - 1)).toBe(true);
    expect(isLeftToDrain(0, waitMs)).toBe(false);
    expect(isLeftToDrain(Number.NEGATIVE_INFINITY, 0)).toBe(false);
  });

  it('is so from 2 % of its water below its capacity on, and from the more below that its plants may be off', () => {
    expect(fullG(4_600, 600, 0)).toBe(4_520);
    expect(fullG(4_600, 600, 30)).toBe(4_490);
    expect(fullG(Number.NaN, 600, 0)).toBeNaN();
  });

  it('has drained two hours after it was soaked and after it was watered, whichever was later', () => {
    const { drainMs } = WEIGHT_LIMITS;
    expect(hasDrained(drainMs, drainMs)).toBe(true);
    expect(hasDrained(drainMs - 1, Number.POSITIVE_INFINITY)).toBe(false);
    expect(hasDrained(Number.POSITIVE_INFINITY, drainMs - 1)).toBe(false);
  });
});

describe('a tray that was watered', () => {
  it.each([0, 3, 15, 60])(
    'until it drains tells its container capacity within the hour, while it dries by %i g/h',
    (gPerH) => {
      const { found, state } = watched(70, draining(120, gPerH));
      expect(found).toHaveLength(1);
      expect(found[0]).toBeLessThan(4_601.5);
      expect(found[0]).toBeGreaterThan(4_599 - gPerH);
      expect(state).toBe(NOT_WATCHED);
    },
  );

  it('less than it holds tells nothing, whether the pump gave all, half or nothing of it', () => {
    for (const gainG of [120, 60, 0]) {
      expect(watched(120, (minute) => 4_300 + gainG - minute * 0.25).found).toEqual([]);
    }
  });

  it('and leaks tells nothing: a leak does not end', () => {
    expect(watched(120, (minute) => 4_600 - minute * 3).found).toEqual([]);
    expect(watched(120, (minute) => 4_600 - minute * 12).found).toEqual([]);
  });

  it.each([10, 15, 25, 61, 123])(
    'and from which a cloth draws for %i min tells nothing: that goes evenly, and stops at once',
    (forMin) => {
      const drawn = (minute: number) => 5_498 - 9 * Math.min(Math.max(0, minute - 2.4), forMin);
      let state: Drainage = NOT_WATCHED;
      for (let minute = 0; minute < forMin + 30; minute++) {
        // It is watched again whenever it loses more than it dries.
        const loses = drawn(minute - 10) - drawn(minute) > WEIGHT_LIMITS.drainedG;
        if (loses && state.phase === 'not-watched') state = WATERED;
        const step = nextDrainage(state, drawn(minute));
        expect(step.capacityG).toBeNull();
        state = step.state;
      }
      expect(state).toBe(NOT_WATCHED);
    },
  );

  it.each([0.5, 1, 2, 5, 7])(
    'tells it all the same where what runs off halves in %d min, however much of it',
    (halvesMin) => {
      for (const overG of [30, 300, 900]) {
        const runsOff = (minute: number) => 4_600 + overG * 0.5 ** (minute / halvesMin);
        const { found } = watched(120, runsOff);
        expect(found, `${overG} g`).toHaveLength(1);
        expect(found[0]).toBeLessThan(4_602);
      }
    },
  );

  it('must have lost 8 g beside what it dried meanwhile, to the gram', () => {
    const lost = (g: number) => (minute: number) => (minute === 0 ? 4_600 + g : 4_600 - minute);
    expect(watched(30, lost(8)).found).toEqual([4_579]);
    expect(watched(30, lost(7.9)).found).toEqual([]);
  });

  it('by a dose that ran a little past dry wool tells nothing', () => {
    expect(watched(120, draining(6, 4)).found).toEqual([]);
  });

  it('and touched while it drains counts what ran out before, once a hand that left nothing is gone', () => {
    const before = watched(25, draining(120, 4)).state;
    const after = (minute: number) => draining(120, 4)(minute + 28);
    const { found } = watched(30, after, drainsOn(before, 3 * MINUTE_MS));
    expect(found).toHaveLength(1);
    expect(found[0]).toBeLessThan(4_601.5);
    expect(watched(30, after).found).toEqual([]);
    expect([NOT_WATCHED, WATERED].map((state) => drainsOn(state, 0))).toEqual([
      NOT_WATCHED,
      WATERED,
    ]);
  });

  it('and is shaken for hours as it begins to drain has dried meanwhile, and holds no less for that', () => {
    const dries = (minute: number) => 4_600 + 5 * Math.exp(-minute / 6) - minute / 2;
    for (const hours of [0.5, 1, 3]) {
      const before = watched(8, dries).state;
      const after = (minute: number) => dries(8 + hours * 60 + minute);
      const { found } = watched(60, after, drainsOn(before, hours * HOUR_MS));
      expect(found).toEqual([]);
    }
  });

  it('and touched while it drains tells nothing before, and nothing is made anew by the minutes of a tray not watched', () => {
    const step = nextDrainage(NOT_WATCHED, 4_600);
    expect(step).toEqual({ state: NOT_WATCHED, capacityG: null });
    expect(nextDrainage(NOT_WATCHED, 4_590)).toBe(step);
  });

  it('and still loses unevenly after two hours is another matter: it is watched no longer', () => {
    const uneven = (minute: number) => 4_600 - (minute * minute) / 10;
    expect(watched(120, uneven).state).toMatchObject({ phase: 'draining', minutes: 120 });
    expect(watched(121, uneven).state).toBe(NOT_WATCHED);
  });

  it('is remembered by its first weight and the last two steps, however long it drains', () => {
    const { state } = watched(100, (minute) => 4_600 - (minute * minute) / 10);
    expect(state).toMatchObject({ firstG: 4_600 });
    expect(state.phase === 'draining' && state.minutesG).toHaveLength(21);
  });
});

describe('whenever a tray was watered, and whatever it holds', () => {
  const ms = fc.nat(3 * HOUR_MS);

  it('two hands that leave nothing are one that was there as long, and what does not drain is as it was', () => {
    const minutes = fc.integer({ min: 1, max: 20 });
    holds(
      fc.property(
        minutes,
        fc.integer({ min: 20, max: 300 }),
        ms,
        ms,
        (forMin, overG, oneMs, moreMs) => {
          const { state } = watched(forMin, draining(overG, 0));
          const once = drainsOn(state, oneMs + moreMs);
          const twice = drainsOn(drainsOn(state, oneMs), moreMs);
          expect(twice.phase).toBe(once.phase);
          if (once.phase !== 'draining' || twice.phase !== 'draining') return;
          expect(twice.minutes).toBeCloseTo(once.minutes, 9);
          expect(once.minutes).toBeLessThanOrEqual(DRAINAGE_LIMITS.mostMs / MINUTE_MS);
          // Of the minutes before nothing is compared with those after it.
          expect([once.minutesG, once.firstG]).toEqual([[], 4_600 + overG]);
          expect(nextDrainage(once, 4_600).capacityG).toBeNull();
        },
      ),
    );
  });

  it('it may be full a little sooner than it is, the sooner the less its plants are known, as heavy as its dry parts may be', () => {
    const g = fc.integer({ min: 0, max: 5_000 });
    holds(
      fc.property(g, g, g, fc.nat(300), (dryG, waterG, moreG, offG) => {
        const capacityOf = dryG + waterG;
        const full = fullG(capacityOf, dryG, offG);
        expect(full).toBeLessThanOrEqual(capacityOf - offG);
        expect(full).toBeGreaterThanOrEqual(capacityOf - offG - 0.05 * waterG);
        expect(fullG(capacityOf + moreG, dryG, offG)).toBeGreaterThanOrEqual(full);
        expect(fullG(capacityOf + moreG, dryG + moreG, offG)).toBeCloseTo(full + moreG, 6);
      }),
    );
  });

  it('it has drained once and for all by time alone, and waits for a dose no longer than that', () => {
    holds(
      fc.property(ms, ms, ms, (soakedMs, wateredMs, laterMs) => {
        if (hasDrained(soakedMs, wateredMs))
          expect(hasDrained(soakedMs + laterMs, wateredMs + laterMs)).toBe(true);
        expect(hasDrained(soakedMs, wateredMs)).toBe(hasDrained(wateredMs, soakedMs));
        if (isLeftToDrain(soakedMs, soakedMs + wateredMs + laterMs))
          expect(isLeftToDrain(soakedMs, soakedMs + wateredMs)).toBe(true);
        if (hasDrained(wateredMs, wateredMs)) expect(isLeftToDrain(0, wateredMs)).toBe(false);
      }),
    );
  });
});

describe('whatever the weight does after water was given', () => {
  const grams = fc.double({ min: 4_560, max: 4_640, noNaN: true });
  /** As a tray loses: most of it at first, evenly later, and now and then something else. */
  const course = fc.oneof(
    fc.array(grams, { minLength: 1, maxLength: 150, size: 'max' }),
    fc
      .tuple(fc.double({ min: 0, max: 200, noNaN: true }), fc.nat(60), fc.nat(149), grams)
      .map(([overG, gPerH, oddAt, oddG]) =>
        Array.from({ length: 150 }, (_, i) => (i === oddAt ? oddG : draining(overG, gPerH)(i))),
      ),
  );

  it('one capacity is told at most, a weight that it had, and less than it began with by what ran out', () => {
    holds(
      fc.property(course, (weights) => {
        const { found } = watched(weights.length, (i) => weights[i] ?? Number.NaN);
        expect(found.length).toBeLessThanOrEqual(1);
        const [firstG = Number.NaN] = weights;
        for (const capacityG of found) {
          expect(weights).toContain(capacityG);
          expect(firstG - capacityG).toBeGreaterThanOrEqual(DRAINAGE_LIMITS.leastG);
        }
      }),
      { numRuns: 400 },
    );
  });

  it('a hand that leaves nothing neither forgets what ran out before nor makes it last past two hours', () => {
    const minutes = fc.integer({ min: 1, max: 119 });
    holds(
      fc.property(course, minutes, fc.nat(3 * HOUR_MS), (weights, count, handMs) => {
        const { state } = watched(Math.min(count, weights.length), (i) => weights[i] ?? 0);
        const after = drainsOn(state, handMs);
        if (state.phase !== 'draining') {
          expect(after).toBe(state);
          return;
        }
        const isOver = state.minutes * MINUTE_MS + handMs > DRAINAGE_LIMITS.mostMs;
        expect(after.phase).toBe(isOver ? 'not-watched' : 'draining');
        if (after.phase === 'draining') expect(after.firstG).toBe(state.firstG);
      }),
    );
  });

  it('a tray may be full from a lower weight on, the less is known of its plants', () => {
    const g = fc.double({ min: 0, max: 500, noNaN: true });
    holds(
      fc.property(g, g, (a, b) => {
        const [less, more] = a < b ? [a, b] : [b, a];
        expect(fullG(4_600, 600, more)).toBeLessThanOrEqual(fullG(4_600, 600, less));
        expect(fullG(4_600, 600, less)).toBeLessThan(4_600);
      }),
    );
  });
});
