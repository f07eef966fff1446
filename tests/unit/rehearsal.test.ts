/** What a grower is told before sowing, from one season and from many. */
import { beforeAll, describe, expect, it } from 'vitest';
import { rehearsalText } from '../../cli/rehearse/screen';
import { spanOf, summaryOf } from '../../cli/rehearse/summary';
import { createStyle } from '../../cli/terminal/output';
import { planFor } from '../../firmware/bench/season/matrix';
import { type Rehearsal, rehearsalOf } from '../../firmware/bench/season/rehearsal';
import { runSeason, type Season } from '../../firmware/bench/season/season';

const DAY_MS = 86_400_000;

describe('a rehearsed season', () => {
  let season: Season;
  let told: Rehearsal;
  beforeAll(() => {
    season = runSeason({ ...planFor('lettuce', 16, 3, 'daily'), swingK: 1, days: 12 });
    told = rehearsalOf(season);
  });

  it('tells when half is up, and when the first feed comes, in days since sowing', () => {
    expect(told.emergedDay).toBeCloseTo((season.emergedMs - season.sownMs) / DAY_MS, 9);
    const first = season.journal.find(
      (entry) => entry.kind === 'dose' && entry.uptimeMs > season.sownMs,
    );
    expect(told.firstFeedDay).toBeCloseTo(((first?.uptimeMs ?? 0) - season.sownMs) / DAY_MS, 9);
    expect(told.transplantDay).toBeNull();
  });

  it('accounts for all the water that the pump gave, by stages as in all', () => {
    const byStages = told.stages.reduce((sum, { ml }) => sum + ml, 0);
    expect(told.ml).toBeGreaterThan(100);
    expect(byStages).toBeCloseTo(told.ml, 6);
    expect(told.ml / 98).toBeCloseTo(told.eachMl, 0);
    expect(told.mostDayMl).toBeLessThanOrEqual(600);
  });

  it('follows the stages one after the other, and how warm each was', () => {
    expect(told.stages.map(({ stage }) => stage)).toEqual([0, 1, 2]);
    for (const [i, { fromDay, forDays, coldestC, warmestC }] of told.stages.entries()) {
      const next = told.stages[i + 1]?.fromDay ?? told.days;
      expect(fromDay + forDays).toBeCloseTo(next, 0);
      expect(coldestC).toBeLessThan(warmestC);
    }
    // The room does the work of the mat: 15 to 17 C, and the band begins at 15.5.
    expect(told.matKwh).toBeGreaterThan(0);
    expect(told.matKwh).toBeLessThan(told.days * 24 * 0.0155);
  });
});

describe('many rehearsals', () => {
  const one = (changes: Partial<Rehearsal>): Rehearsal => ({
    days: 30,
    emergedDay: 4,
    firstFeedDay: 9,
    transplantDay: null,
    stages: [],
    refillDays: [],
    ml: 1000,
    mostDayMl: 100,
    eachMl: 10,
    eachSaltsMg: 5,
    matW: 15,
    matKwh: 1,
    driestShare: 0.1,
    deadShare: 0,
    growthShare: 1,
    alarms: [],
    ...changes,
  });

  it('give the least, the middle and the most; of an even number the lower of the two in the middle', () => {
    expect(spanOf([])).toBeNull();
    expect(spanOf([5, 3, 9, 4])).toEqual({ least: 3, middle: 4, most: 9 });
  });

  it('tell of what came in some of them by how many these were', () => {
    const alarm = { alarm: 'too-warm', day: 3.5 } as const;
    const { alarms, emergedDay } = summaryOf([
      one({ alarms: [alarm, { ...alarm, day: 7 }], emergedDay: null }),
      one({}),
      one({ alarms: [{ ...alarm, day: 2 }], emergedDay: 6 }),
    ]);
    expect(alarms).toEqual([
      {
        alarm: 'too-warm',
        rehearsals: 2,
        times: { least: 1, middle: 1, most: 2 },
        firstDay: { least: 2, middle: 2, most: 3.5 },
      },
    ]);
    expect(emergedDay).toEqual({ least: 4, middle: 4, most: 6 });
  });

  it('say when no feed would come, and when plants would lack something', () => {
    const { profile } = planFor('lettuce', 16, 1, 'daily');
    const summary = summaryOf([one({ firstFeedDay: null, growthShare: 0.6, deadShare: 0.2 })]);
    const text = rehearsalText(
      summary,
      profile,
      'A cold shed.',
      'metric',
      createStyle(false),
      null,
    );
    expect(text).toMatch(/First feed +none within 30 days/);
    expect(text).toMatch(/Growth +60 %/);
    expect(text).toMatch(/Plants lost +20 %/);
  });

  it('say of a stage that the mat cannot warm or cool what to do about it', () => {
    const { profile } = planFor('lettuce', 16, 1, 'daily');
    const stage = (coldestC: number, warmestC: number) => ({
      stage: 0,
      fromDay: 0,
      forDays: 5,
      lid: 'closed' as const,
      inBandShare: 0.4,
      coldestC,
      warmestC,
      ml: 0,
      doses: 0,
    });
    const textOf = (coldestC: number, warmestC: number): string =>
      rehearsalText(
        summaryOf([one({ stages: [stage(coldestC, warmestC)] })]),
        profile,
        '',
        'metric',
        createStyle(false),
        null,
      );
    expect(textOf(16, 24)).toContain('the room is too warm for it, up to 24.0');
    expect(textOf(9, 18)).toContain('the mat does not reach its band, down to 9.0');
  });
});
