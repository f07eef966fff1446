/** What a grower is told before sowing, from one season and from many. */
import { beforeAll, describe, expect, it } from 'vitest';
import { SOWN_HOUR } from '../../cli/rehearse/band';
import { rehearsalText } from '../../cli/rehearse/screen';
import { spanOf, summaryOf } from '../../cli/rehearse/summary';
import { createStyle } from '../../cli/terminal/output';
import { planFor } from '../../firmware/bench/season/matrix';
import { type Rehearsal, rehearsalOf, type StageRun } from '../../firmware/bench/season/rehearsal';
import { runSeason, type Season } from '../../firmware/bench/season/season';
import type { LidPlace, Profile } from '../../shared/profile/profile';
import { DAY_MS } from '../../shared/units/time';
import { trayward } from '../cli/worlds';
import { hours, madeRehearsal as one } from './made-rehearsal';

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

  it('has its course look by look: what was given adds up, the reservoir falls by it, plants come up', () => {
    const { course, doses } = told;
    for (const column of Object.values(course)) expect(column).toHaveLength(season.looks.length);
    expect(course.days.at(0)).toBeCloseTo(1 / 48, 3);
    expect(course.days.at(-1)).toBeCloseTo(told.days, 1);
    expect(course.eachMl).toEqual([...course.eachMl].sort((a, b) => a - b));
    expect(course.eachMl.at(-1)).toBe(told.eachMl);
    expect(doses.reduce((sum, { ml }) => sum + ml, 0)).toBeCloseTo(told.ml, 6);
    expect(Math.min(...course.reservoirMl)).toBeLessThan((course.reservoirMl[0] ?? 0) - 100);
    const half = course.standingShare.findIndex((share) => (share ?? 0) > 0.4);
    expect(course.days[half]).toBeGreaterThan((told.emergedDay ?? 99) - 0.5);
    expect(course.bandLowC[0]).toBe(season.plan.profile.stages[0]?.band.lowC);
  });

  it('is seen as often as is asked for, and tells the same of its time', () => {
    const plan = { ...planFor('lettuce', 16, 3, 'daily'), swingK: 1, days: 2 };
    const [often, seldom] = [{}, { lookMs: 3_600_000 }].map((how) =>
      rehearsalOf(runSeason({ ...plan, ...how })),
    );
    expect([often?.course.days.length, seldom?.course.days.length]).toEqual([96, 48]);
    expect(seldom?.stages[0]?.forDays).toBeCloseTo(often?.stages[0]?.forDays ?? 0, 1);
  });
});

describe('a season that goes on in blocks', () => {
  it('gives each plant its share of a dose by the pieces that stand there then', () => {
    // Moved on in the fifth week, and watered in blocks within four days.
    const plan = { ...planFor('lettuce', 18, 1, 'daily'), days: 34 };
    const season = runSeason({ ...plan, lookMs: 3_600_000 });
    const { transplantDay, doses, eachMl, course } = rehearsalOf(season);
    const day = transplantDay ?? Number.NaN;
    const sumOf = (from: number, to: number): number =>
      doses.reduce((sum, one) => sum + (one.day > from && one.day <= to ? one.ml : 0), 0);
    const inBlocksMl = sumOf(day, Number.POSITIVE_INFINITY);
    expect(inBlocksMl).toBeGreaterThan(100);
    expect(eachMl).toBeCloseTo(sumOf(0, day) / 98 + inBlocksMl / 8, 0);
    expect(course.standingShare.at(-1)).toBeNull();
  });
});

const STAGE: StageRun = {
  ...{ stage: 0, fromDay: 0, forDays: 5, lid: 'vents-open', inBandShare: 0.4 },
  ...{ coldestC: 20, warmestC: 22, ml: 0, doses: 0 },
};

/** What the screen says of them. */
const textOf = (all: readonly Rehearsal[], profile: Profile): string =>
  rehearsalText(
    { all, summary: summaryOf(all), profile, units: 'metric' },
    'A cold shed.',
    createStyle(false),
    null,
  );

describe('many rehearsals', () => {
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
    const text = textOf([one({ firstFeedDay: null, growthShare: 0.6, deadShare: 0.2 })], profile);
    expect(text).toMatch(/First feed +none within 30 days/);
    expect(text).toMatch(/Growth +60 %/);
    expect(text).toMatch(/Plants lost +20 %/);
  });

  it('say of a stage that the mat cannot warm or cool what to do about it', () => {
    const { profile } = planFor('lettuce', 16, 1, 'daily');
    const told = (coldestC: number, warmestC: number, lid: LidPlace = 'vents-open'): string =>
      textOf([one({ stages: [{ ...STAGE, lid, coldestC, warmestC }] })], profile);
    expect(told(16, 24)).toContain('the room is too warm for it, up to 24.0');
    expect(told(9, 18)).toContain('the mat does not reach its band, down to 9.0');
    expect(told(9, 18)).toContain('or the lid closed longer');
    // Where it is closed all the time it cannot be closed longer.
    expect(told(9, 18, 'closed')).not.toContain('closed longer');
  });

  it('name what your hands do, a line each, and say that the page has why and every dose', async () => {
    const file = 'shared/crops/lettuce.yaml';
    const said = await trayward('rehearse', file, '--days', '9d', '--seeds', '2');
    expect(said.stdout).toMatch(/^day 0 {2,}Sow, lid closed$/m);
    expect(said.stdout).toMatch(/^day [\d ()to]+ Half is up: mark it$/m);
    expect(said.stdout).toMatch(/^day 0 to day [\d ()to]+ Air daily$/m);
    expect(said.stdout).toMatch(/^Feed .* in \d+.* doses, most in a day/m);
    expect(said.stdout.replace(/\s+/g, ' ')).toContain('every dose, and how far they spread');
  });
});

describe('the band of a stage', () => {
  /** Ten days: 10 C when it is sown, 24 C after ten hours, and at night from 21 h to 9 h `nightC`. */
  const season = (nightC: number): Rehearsal => {
    const rootZoneC = Array.from({ length: 240 }, (_, i) => {
      const hour = (SOWN_HOUR + i + 1) % 24;
      if (i < 10) return 10 + 1.4 * i;
      return hour >= 21 || hour < 9 ? nightC : 24;
    });
    return hours(rootZoneC, {
      stages: [{ ...STAGE, forDays: 10, inBandShare: 0.5, coldestC: 10 }],
    });
  };

  it('is not missed by a tray that was sown cold and has half a day to warm up', () => {
    const { stages } = summaryOf([season(24)]);
    expect(stages[0]).toMatchObject({ coldestC: 24, inBandShare: { middle: 1 } });
    expect(stages[0]?.below.hoursADay).toBe(0);
  });

  it('is missed at night, for so many hours of each', () => {
    const [stage] = summaryOf([season(21)]).stages;
    expect(stage?.coldestC).toBe(21);
    expect(Math.abs((stage?.below.hoursADay ?? 0) - 12)).toBeLessThan(1);
    expect(stage?.below.nightShare).toBeGreaterThan(0.99);
    const { profile } = planFor('lettuce', 16, 1, 'daily');
    expect(textOf([season(21)], profile).replace(/\s+/g, ' ')).toContain(
      'does not reach its band for about 13 h a day, mostly at night, down to 21.0 °C',
    );
    const [warm] = summaryOf([season(30)]).stages;
    expect(warm?.above.hoursADay).toBe(stage?.below.hoursADay);
    expect(warm?.below.hoursADay).toBe(0);
  });

  it('is told by the hour at which the bench really sows', () => {
    const { end, endMs, sownMs } = runSeason({ ...planFor('lettuce', 16, 1, 'daily'), days: 1 });
    const sownUnixMs = end.unixMs - (endMs - sownMs);
    expect((sownUnixMs % DAY_MS) / 3_600_000).toBeCloseTo(SOWN_HOUR, 0);
  });
});
