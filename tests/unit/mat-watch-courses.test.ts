/** What the watch of the mat promises over any course. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { holds } from '../properties';
import { found, said } from './findings';
import { BAND, Course, EFFECT_MIN, STUCK_MIN } from './mat-course';

describe('over any course of heat and root zone', () => {
  const stretch = fc.record({
    minutes: fc.integer({ min: 1, max: 90 }),
    fromC: fc.integer({ min: 18, max: 32 }),
    byK: fc.integer({ min: -20, max: 20 }).map((tenths) => tenths / 10),
    matOverK: fc.constantFrom(-1, 0, 0.4, 0.6, 2, 6, 12, Number.NaN),
    on: fc.boolean(),
    doubtful: fc.oneof({ weight: 9, arbitrary: fc.constant(false) }, fc.boolean()),
    handsNear: fc.boolean(),
    cutOff: fc.oneof({ weight: 4, arbitrary: fc.constant(false) }, fc.boolean()),
  });

  it('nothing is said of a mat without its cause', () => {
    holds(
      fc.property(fc.array(stretch, { maxLength: 10 }), (stretches) => {
        const course = new Course();
        for (const { minutes, fromC, byK, on, ...how } of stretches) {
          if (on !== course.on) course.switch(on);
          for (let i = 0; i < minutes; i++) {
            const [beforeC, rootC] = [i, i + 1].map((n) => fromC + (byK * n) / minutes);
            if (beforeC === undefined || rootC === undefined) throw new Error('two temperatures');
            const names = found(course.pass(1, beforeC, rootC, how));
            const heated = on && !how.cutOff && !how.doubtful;
            const { matOverK } = how;
            for (const name of names) {
              expect(how.doubtful).toBe(false);
              if (name === 'mat-stuck-on') {
                // Off for long, with nobody near, and the root zone above its band and no warmer than the mat.
                expect(on || how.handsNear).toBe(false);
                expect(course.lastsMin).toBeGreaterThanOrEqual(STUCK_MIN);
                expect(rootC).toBeGreaterThan(BAND.highC);
                expect(matOverK).not.toBeLessThan(GUARD_LIMITS.stuckWarmK);
                continue;
              }
              // On for half an hour with its current, and the root zone below its band all the same.
              expect(heated).toBe(true);
              expect(course.lastsMin).toBeGreaterThanOrEqual(EFFECT_MIN);
              expect(rootC).toBeLessThan(BAND.lowC);
              if (name === 'mat-no-effect')
                expect(matOverK).not.toBeGreaterThan(GUARD_LIMITS.warmMatK);
              if (name === 'probe-suspect')
                expect(matOverK).toBeGreaterThan(GUARD_LIMITS.suspectMatK);
            }
          }
        }
      }),
      { numRuns: 60 },
    );
  });

  it('a mat that warms nothing is told after half an hour, however cold the room and fast the fall', () => {
    const perHour = fc.integer({ min: 0, max: 50 }).map((tenths) => tenths / 10);
    holds(
      fc.property(
        perHour,
        fc.integer({ min: 18, max: 25 }),
        fc.integer({ min: 0, max: 60 }),
        (kPerH, onC, restMin) => {
          const course = new Course();
          const matOverK = 0;
          if (restMin > 0) course.pass(restMin, onC + (kPerH * restMin) / 60, onC, { matOverK });
          course.switch(true);
          // Without a history of half an hour it takes that.
          const minutes = EFFECT_MIN + (restMin === 0 ? 1 : 0);
          course.pass(minutes - 1, onC, onC - (kPerH * (minutes - 1)) / 60, { matOverK });
          expect(course.found).toEqual([]);
          const endC = onC - (kPerH * minutes) / 60;
          expect(said(course.pass(1, endC, endC, { matOverK }), 'mat-no-effect')).toBe('present');
        },
      ),
    );
  });
});
