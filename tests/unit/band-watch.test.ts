import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BandWatch, type BeforeStart, NOTHING_SO_FAR } from '../../firmware/guard/band-watch';
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { readings } from './readings';

const BAND = { lowC: 24, highC: 26 };

/** What is present after `minutes`, the root zone at `rootC` of the minute. */
function presentAfter(
  watch: BandWatch,
  minutes: number,
  rootC: (minute: number) => number,
  change: { away?: boolean; maxC?: number; before?: BeforeStart } = {},
): string[] {
  let present: string[] = [];
  for (let i = 1; i <= minutes; i++) {
    const { away = false, maxC = null, before = null } = change;
    const now = readings({ away, rootZone: { celsius: rootC(i) }, uptimeMs: i * MINUTE_MS });
    const found = watch.minute(now, BAND, maxC, MINUTE_MS, before);
    if (found.length > 0)
      present = found.flatMap(({ alarm, is }) => (is === 'present' ? [alarm] : []));
  }
  return present;
}

/** For so many minutes, evenly from one temperature to another, C. */
interface Stretch {
  readonly minutes: number;
  readonly fromC: number;
  readonly toC: number;
  readonly is: 'there' | 'away' | 'in-doubt';
}

/** A start after which nothing is known of how long the board was off. */
function restartedAt(beforeC: number, said: Partial<BeforeStart> = {}): BeforeStart {
  return {
    forMs: Number.NaN,
    beforeC,
    afterC: beforeC,
    tooWarm: false,
    tooCold: false,
    ...said,
  };
}

/** Whether anything is told of a tray that is away for so long. */
const toldAway = (watch: BandWatch, minutes: number): boolean => {
  let told = false;
  for (let i = 1; i <= minutes; i++) {
    const findings = watch.minute(readings({ away: true }), BAND, null, MINUTE_MS);
    told ||= findings.length > 0;
  }
  return told;
};

describe('a root zone outside its band', () => {
  it('is too cold after an hour more than 2 K below it, and not before', () => {
    expect(presentAfter(new BandWatch(), 59, () => 21.9)).toEqual([]);
    expect(presentAfter(new BandWatch(), 62, () => 21.9)).toEqual(['too-cold']);
    expect(presentAfter(new BandWatch(), 300, () => 22.1)).toEqual([]);
  });

  it('is too warm after two hours more than 2 K above it: an hour of sun is an ordinary day', () => {
    expect(presentAfter(new BandWatch(), 119, () => 28.1)).toEqual([]);
    expect(presentAfter(new BandWatch(), 121, () => 28.1)).toEqual(['too-warm']);
  });

  it('is let be while it comes back: a tray that warms up after sowing, one that cools to a new band', () => {
    expect(presentAfter(new BandWatch(), 300, (i) => 16 + i * 0.006)).toEqual([]);
    expect(presentAfter(new BandWatch(), 300, (i) => 31 - i * 0.006)).toEqual([]);
  });

  it('is over only when it is well back: the alarm does not come and go at the edge', () => {
    const watch = new BandWatch();
    presentAfter(watch, 70, () => 21.5);
    expect(presentAfter(watch, 1, () => 22.5)).toEqual(['too-cold']);
    expect(presentAfter(watch, 1, () => 23.1)).toEqual([]);
  });

  it('is one happening in a room that is too warm each day, and over after a day that was not', () => {
    const watch = new BandWatch();
    const days = (warm: boolean): string[] => {
      const told: string[] = [];
      for (let hour = 0; hour < 24; hour++) {
        const sunny = warm && hour < 8;
        told.push(presentAfter(watch, 60, () => (sunny ? 28.5 : 25)).join() || '-');
      }
      return told;
    };
    const first = days(true);
    expect(first.slice(3, 8)).toEqual(Array(5).fill('too-warm'));
    // The first time is over when it is over.
    expect(first.slice(8)).toEqual(Array(16).fill('-'));
    expect(days(true).slice(3)).toEqual(Array(21).fill('too-warm'));
    expect(days(true)).toEqual(Array(24).fill('too-warm'));
    expect(days(false).at(-1)).toBe('-');
  });

  it('is said within the hour above what the crop bears, and near the band too where it bears no more', () => {
    const calm = new BandWatch();
    presentAfter(calm, 61, () => 25);
    expect(presentAfter(calm, 14, () => 33, { maxC: 32 })).toEqual([]);
    expect(presentAfter(calm, 1, () => 33, { maxC: 32 })).toEqual(['too-warm']);
    expect(presentAfter(new BandWatch(), 62, () => 27.5, { maxC: 27 })).toEqual(['too-warm']);
    expect(presentAfter(new BandWatch(), 300, () => 27.5, { maxC: 32 })).toEqual([]);
  });

  it('is told at a start, though it comes back, where the outage was long by clock or by readings', () => {
    const off = (forMs: number, beforeC: number, afterC: number) =>
      restartedAt(beforeC, { forMs, afterC });
    const comesBack = (watch: BandWatch, before: BeforeStart, fromC = 15) =>
      presentAfter(watch, 30, (i) => fromC + i * 0.05, { before });
    const untold = Number.NaN;
    expect(comesBack(new BandWatch(), off(untold, 25, 15))).toEqual(['too-cold']);
    expect(comesBack(new BandWatch(), off(61 * MINUTE_MS, 15.5, 15))).toEqual(['too-cold']);
    // A short one; a tray that was as cold before; one that is still warm enough.
    expect(comesBack(new BandWatch(), off(20 * MINUTE_MS, 15.5, 15))).toEqual([]);
    expect(comesBack(new BandWatch(), off(untold, 15.5, 15))).toEqual([]);
    expect(comesBack(new BandWatch(), off(5 * 60 * MINUTE_MS, 25, 22.5), 22.5)).toEqual([]);
    // A clock that tells hours later tells all the same; and no start is told twice.
    const watch = new BandWatch();
    comesBack(watch, off(untold, 15.5, 15));
    expect(comesBack(watch, off(61 * MINUTE_MS, 15.5, 15), 16)).toEqual(['too-cold']);
    comesBack(watch, off(61 * MINUTE_MS, 15.5, 15), 25);
    expect(comesBack(watch, off(61 * MINUTE_MS, 15.5, 15), 21)).toEqual([]);
  });

  /** What is present after each of many starts, so many minutes apart, the root zone at `rootC` of the minute in all. */
  function presentAtStarts(
    apartMin: number,
    starts: number,
    rootC: (minute: number) => number,
  ): string[] {
    const told: string[] = [];
    let soFar = NOTHING_SO_FAR;
    for (let i = 0; i < starts; i++) {
      const fromMin = i * apartMin;
      const watch = new BandWatch(soFar);
      const before = restartedAt(i === 0 ? Number.NaN : rootC(fromMin));
      told.push(presentAfter(watch, apartMin, (j) => rootC(fromMin + j), { before }).join());
      soFar = watch.soFar;
    }
    return told;
  }

  it('is said when it has lasted as long as ever, over however many starts', () => {
    expect(presentAtStarts(20, 6, () => 29)).toEqual([...Array(5).fill(''), 'too-warm']);
    expect(presentAtStarts(59, 3, () => 29)).toEqual(['', '', 'too-warm']);
    expect(presentAtStarts(110, 2, () => 29)).toEqual(['', 'too-warm']);
    expect(presentAtStarts(19, 4, () => 21)).toEqual(['', '', '', 'too-cold']);
    expect(presentAtStarts(20, 9, () => 27.9)).toEqual(Array(9).fill(''));
  });

  it('is let be over however many starts while it comes back, and said when it no longer does', () => {
    for (const apartMin of [20, 59, 110]) {
      const starts = Math.ceil(480 / apartMin);
      const cools = presentAtStarts(apartMin, starts, (i) => 33 - i * 0.009);
      expect(cools).toEqual(Array(starts).fill(''));
      const warms = presentAtStarts(apartMin, starts, (i) => 17 + i * 0.009);
      expect(warms).toEqual(Array(starts).fill(''));
      const stands = presentAtStarts(apartMin, starts, (i) => Math.max(29, 33 - i * 0.02));
      expect(stands.at(-1)).toBe('too-warm');
    }
  });

  it('has to last anew after a start that finds it where it should be, not where that comes as the tray is away', () => {
    const soFar = { outOfBandMs: 110 * MINUTE_MS, trend: { roseK: 0, forMin: 60 } };
    const warmAt = (watch: BandWatch, rootC: number, minutes: number): string[] =>
      presentAfter(watch, minutes, () => rootC, { before: restartedAt(29) });
    expect(warmAt(new BandWatch(soFar), 29, 11)).toEqual(['too-warm']);
    const back = new BandWatch(soFar);
    warmAt(back, 25, 1);
    expect(warmAt(back, 29, 119)).toEqual([]);
    const away = new BandWatch(soFar);
    toldAway(away, 90);
    expect(warmAt(away, 29, 60)).toEqual([]);
    expect(warmAt(away, 29, 1)).toEqual(['too-warm']);
    // Nobody knows what it was before: a probe in doubt.
    const unknown = new BandWatch(soFar);
    presentAfter(unknown, 30, () => Number.NaN, { before: restartedAt(29) });
    expect(unknown.soFar).toEqual(soFar);
    const early = presentAfter(unknown, 11, () => 29, { before: restartedAt(Number.NaN) });
    expect(early).toEqual([]);
  });

  it('is so still after a start where it was said before, until it is well back', () => {
    const first = (rootC: number, said: Partial<BeforeStart>) =>
      presentAfter(new BandWatch(), 1, () => rootC, { before: restartedAt(rootC, said) });
    expect(first(29, { tooWarm: true })).toEqual(['too-warm']);
    expect(first(27.5, { tooWarm: true })).toEqual(['too-warm']);
    expect(first(26.5, { tooWarm: true })).toEqual([]);
    expect(first(22.5, { tooCold: true })).toEqual(['too-cold']);
    expect(first(25, { tooCold: true })).toEqual([]);
    expect(first(29, { tooCold: true })).toEqual([]);
  });

  it('is not over because the tray was taken away, but when it is back and has come back', () => {
    for (const minutes of [30, 90, 24 * 60]) {
      const watch = new BandWatch();
      expect(presentAfter(watch, 62, () => 20)).toEqual(['too-cold']);
      expect(toldAway(watch, minutes)).toBe(false);
      expect(presentAfter(watch, 5, () => 20)).toEqual(['too-cold']);
      expect(presentAfter(watch, 1, () => 24)).toEqual([]);
    }
  });

  /** Too warm for 119 minutes, then away for so many: the tray is back from there at `backC` of the minute. */
  function afterAway(minutes: number, backC: (minute: number) => number) {
    const watch = new BandWatch();
    expect(presentAfter(watch, 119, () => 29)).toEqual([]);
    toldAway(watch, minutes);
    let min = 0;
    return (forMin: number): string[] => presentAfter(watch, forMin, () => backC(++min));
  }

  it('lasts on when the tray is back, however long hands had it: told as soon as it is seen to stay so', () => {
    for (const minutes of [30, 90, 24 * 60]) {
      const back = afterAway(minutes, () => 29);
      expect(back(60)).toEqual([]);
      expect(back(1)).toEqual(['too-warm']);
    }
  });

  it('is let be where the tray was in its band as it came back, or comes from a warm place and cools by itself', () => {
    for (const minutes of [30, 90, 24 * 60]) {
      expect(afterAway(minutes, (minute) => (minute === 1 ? 25 : 29))(119)).toEqual([]);
      const back = afterAway(minutes, (minute) => Math.max(29, 33 - minute * 0.006));
      for (let hour = 0; hour < 11; hour++) expect(back(60)).toEqual([]);
      expect(back(90)).toEqual(['too-warm']);
    }
  });

  it('has an hour to show that it comes back, each time hands are over: a tray that warms up for long after sowing', () => {
    const watch = new BandWatch();
    let minute = 0;
    for (let time = 0; time < 4; time++) {
      expect(presentAfter(watch, 90, () => 12 + ++minute * 0.025)).toEqual([]);
      toldAway(watch, 2);
    }
  });

  it('is told of a tray that is lifted for half of every hour: its trend is never known', () => {
    const watch = new BandWatch();
    const told = Array.from({ length: 6 }, () => {
      const present = presentAfter(watch, 30, () => 29);
      toldAway(watch, 30);
      return present.join();
    });
    expect(told).toEqual(['', '', '', '', '', 'too-warm']);
  });

  it('is not told of a tray that is away, nor of a probe in doubt', () => {
    expect(presentAfter(new BandWatch(), 200, () => 18, { away: true })).toEqual([]);
    expect(presentAfter(new BandWatch(), 200, () => Number.NaN)).toEqual([]);
  });
});

describe('over any course of minutes', () => {
  /** For so many minutes at a temperature, moving by so much a minute; away, or a probe in doubt, now and then. */
  const stretch = (leastC: number, mostC: number) =>
    fc.record({
      minutes: fc.integer({ min: 1, max: 180 }),
      fromC: fc.integer({ min: leastC * 10, max: mostC * 10 }).map((tenths) => tenths / 10),
      toC: fc.integer({ min: leastC * 10, max: mostC * 10 }).map((tenths) => tenths / 10),
      is: fc.constantFrom('there', 'there', 'there', 'away', 'in-doubt'),
    });
  const courses = (leastC: number, mostC: number) =>
    fc.array(stretch(leastC, mostC), { maxLength: 8 });
  /** All that was present in any minute of it. */
  function presentIn(watch: BandWatch, course: readonly Stretch[], maxC = 32): Set<string> {
    const present = new Set<string>();
    for (const { minutes, fromC, toC, is } of course) {
      for (let i = 1; i <= minutes; i++) {
        const rootC = is === 'in-doubt' ? Number.NaN : fromC + ((toC - fromC) * i) / minutes;
        const now = presentAfter(watch, 1, () => rootC, { away: is === 'away', maxC });
        for (const alarm of now) present.add(alarm);
      }
    }
    return present;
  }

  it('nothing is found of a root zone within 2 K of its band', () => {
    const [leastC, mostC] = [
      BAND.lowC - GUARD_LIMITS.bandBeyondK,
      BAND.highC + GUARD_LIMITS.bandBeyondK,
    ];
    holds(
      fc.property(courses(leastC, mostC), (course) => {
        expect(presentIn(new BandWatch(), course)).toEqual(new Set());
      }),
      { numRuns: 60 },
    );
  });

  it('whatever was before, one that stands out of its band is told at its limit, and over after a night in it', () => {
    const outside = fc.constantFrom(
      { alarm: 'too-cold', limitMs: GUARD_LIMITS.tooColdMs, edgeC: BAND.lowC, way: -1 },
      { alarm: 'too-warm', limitMs: GUARD_LIMITS.tooWarmMs, edgeC: BAND.highC, way: 1 },
    );
    const byK = fc.integer({ min: 21, max: 100 }).map((tenths) => tenths / 10);
    holds(
      fc.property(courses(10, 40), outside, byK, (course, { alarm, limitMs, edgeC, way }, k) => {
        const watch = new BandWatch();
        presentIn(watch, course);
        const rootC = edgeC + way * k;
        // Its trend is known after an hour.
        const minutes = Math.max(limitMs / MINUTE_MS, 61);
        expect(presentAfter(watch, minutes, () => rootC)).toContain(alarm);
        // A night in its band, and nothing is out of it.
        const night = GUARD_LIMITS.bandNightMs / MINUTE_MS;
        expect(presentAfter(watch, night, () => (BAND.lowC + BAND.highC) / 2)).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  it('one that comes back by its 0.3 K an hour is let be, however far it has to go', () => {
    const pace = fc.integer({ min: 30, max: 300 }).map((hundredths) => hundredths / 100);
    holds(
      fc.property(pace, fc.boolean(), (kPerH, fromBelow) => {
        const rootC = (minute: number) => {
          const comesBackK = (kPerH * minute) / 60 + 1e-9 * minute;
          return fromBelow ? 12 + comesBackK : 38 - comesBackK;
        };
        const minutes = Math.floor((60 * 12) / kPerH);
        const watch = new BandWatch();
        const told: string[] = [];
        for (let i = 1; i <= minutes; i++) told.push(...presentAfter(watch, 1, () => rootC(i)));
        expect(told).toEqual([]);
      }),
      { numRuns: 20 },
    );
  });
});
