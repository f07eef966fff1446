/** What a journal tells of a root zone that was too cold or too warm: since when, why, and how far. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { emergence } from '../../shared/crops/library/emergence';
import { cropNamed } from '../../shared/crops/library/library';
import { holds } from '../properties';
import { calm, cold, cooling, dead } from './made-story';

describe('a cold root zone', () => {
  it('beside a mat that is on and cold is the mat’s', () => {
    const made = calm().goOn(1, dead).alarm('mat-no-effect', 'raised', -0.8, 0.3);
    made.goOn(7, { ...dead, rootC: (h) => cooling(h + 1), matC: (h) => cooling(h + 1) - 0.2 });
    expect(made.causes).toEqual(['mat-dead']);
  });

  it('beside a mat that is on and warm is the room’s, and the lid may be', () => {
    const made = calm().goOn(9, { rootC: (h) => 22 + 5 * Math.exp(-h / 3), duty: 1 });
    expect(made.causes[0]).toMatch(/^mat-weak lid-open/);
  });

  it('under a mat that an alarm holds off is that alarm’s, and one incident with it', () => {
    const made = calm().alarm('probe-open', 'raised', 4092, 4000);
    made.goOn(6, { rootC: Number.NaN, matC: (h) => cooling(h) - 0.2, duty: 0 });
    expect(made.causes).toEqual(['probe-open']);
    expect(cold(made)?.measures.worstC).toBeCloseTo(cooling(6) - 0.2, 1);
    expect(made.story.incidents[0]?.open).toBe(true);
  });

  it('is held off by an alarm that latched until somebody says that it is mended, though its fault is over', () => {
    const made = calm().alarm('probe-open').goOn(1, { rootC: Number.NaN, duty: 0 });
    made.alarm('probe-open', 'returned').goOn(6, { rootC: cooling, duty: 0 });
    expect(made.causes).toEqual(['probe-open']);
    expect(made.story.incidents[0]?.open).toBe(true);
    made
      .alarm('probe-open', 'cleared')
      .goOn(8, { rootC: (h) => Math.min(27, 20 + 2 * h), duty: 1 });
    expect(made.story.incidents[0]?.open).toBe(false);
  });

  it('costs pepper seed the days that the trials say, by thermal time', () => {
    // 24 h at 20 C instead of 27 C: 13 d against 8 d to emergence, so a day becomes 8/13 of one.
    const made = calm().goOn(24, { rootC: 20, matC: 21.7, duty: 1 }).goOn(2);
    const pepper = cropNamed('pepper');
    if (!pepper.ok) throw new Error(pepper.why);
    const daysAt = (atC: number): number => {
      const days = emergence(pepper.value, atC);
      if (!days.ok) throw new Error(days.why);
      const trial = days.value.estimates.find(({ by }) => by === 'trials');
      return ((trial?.low ?? Number.NaN) + (trial?.high ?? Number.NaN)) / 2;
    };
    expect(cold(made)?.measures.emergenceDays).toBeCloseTo(1 - daysAt(27) / daysAt(20), 1);
  });

  it('is longer, deeper and worse in degree-hours the longer and colder it is', () => {
    holds(
      fc.property(
        fc.integer({ min: 2, max: 20 }),
        fc.integer({ min: 14, max: 23 }),
        (hours, rootC) => {
          const one = cold(calm().goOn(hours, { rootC, duty: 1 }).goOn(2));
          const longer = cold(
            calm()
              .goOn(hours + 2, { rootC, duty: 1 })
              .goOn(2),
          );
          const colder = cold(
            calm()
              .goOn(hours, { rootC: rootC - 1, duty: 1 })
              .goOn(2),
          );
          const degreeHours = one?.measures.degreeHours ?? 0;
          expect(degreeHours).toBeCloseTo(hours * (26 - rootC), -1);
          expect(longer?.measures.degreeHours).toBeGreaterThan(degreeHours);
          expect(colder?.measures.degreeHours).toBeGreaterThan(degreeHours);
        },
      ),
      { numRuns: 20 },
    );
  });
});

describe('a warm root zone', () => {
  const warming = (h: number): number => Math.min(33, 28 + 1.2 * h);

  it('below a mat that is off and warmer is the switch’s', () => {
    const made = calm().goOn(1, { rootC: warming, matC: (h) => warming(h) + 1.8, duty: 0 });
    made.alarm('mat-stuck-on', 'raised', 29, 28);
    made.goOn(5, { rootC: (h) => warming(h + 1), matC: (h) => warming(h + 1) + 1.8, duty: 0 });
    expect(made.causes[0]).toMatch(/^mat-stuck-on/);
  });

  it('that warms fast beside a cool mat is the sun’s, slowly the room’s', () => {
    const sun = calm()
      .goOn(3, { rootC: (h) => 28 + 2.5 * h, duty: 0 })
      .goOn(2);
    expect(sun.causes[0]).toMatch(/^sun/);
    const room = calm()
      .goOn(8, { rootC: (h) => Math.min(31, 28 + 0.8 * h), duty: 0 })
      .goOn(2);
    expect(room.causes[0]).toMatch(/^warm-room/);
  });
});
