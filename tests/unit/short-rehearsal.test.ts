/** What one short rehearsal warns of before a profile is loaded. */
import { describe, expect, it } from 'vitest';
import { shortWarnings } from '../../cli/rehearse/short';
import { planFor } from '../../firmware/bench/season/matrix';
import type { Rehearsal, StageRun } from '../../firmware/bench/season/rehearsal';
import { hours, madeCourse } from './made-rehearsal';

const { profile } = planFor('lettuce', 16, 1, 'daily');
const STAGE: StageRun = {
  ...{ stage: 0, fromDay: 0, forDays: 12, lid: 'closed', inBandShare: 1 },
  ...{ coldestC: 24, warmestC: 24, ml: 0, doses: 0 },
};

/** Twelve days in which all is well, but for what `changes`. */
const days = (rootZoneC: number, changes: Partial<Rehearsal> = {}): Rehearsal =>
  hours(
    Array.from({ length: 288 }, () => rootZoneC),
    { emergedDay: 3, firstFeedDay: 6, stages: [STAGE], ...changes },
  );
const warned = (rehearsal: Rehearsal, about: string): readonly string[] =>
  shortWarnings(rehearsal, profile, 'metric')
    .filter((one) => one.about === about)
    .map(({ says }) => says);

describe('a short rehearsal', () => {
  it('warns of nothing where nothing goes wrong', () => {
    expect(shortWarnings(days(24), profile, 'metric')).toEqual([]);
  });

  it('warns of a band that is not reached, and of one that is too warm, and when', () => {
    expect(warned(days(19), 'band').join()).toContain(
      'germinate: the mat does not reach its band day and night, down to 19.0 °C',
    );
    expect(warned(days(30), 'band').join()).toContain('the room is too warm for it day and night');
    const [us] = shortWarnings(days(19), profile, 'us');
    expect(us?.says).toContain('66.2 °F');
  });

  it('warns of each alarm that comes, how often and from when on, a cap that is reached among them', () => {
    const alarms = [
      { alarm: 'day-cap-reached', day: 9 },
      { alarm: 'too-warm', day: 2 },
      { alarm: 'too-warm', day: 5 },
    ] as const;
    expect(warned(days(24, { alarms }), 'alarm')).toEqual([
      'Alarm "Root zone too warm": 2 times, first on day 2.',
      'Alarm "Daily water cap reached": on day 9.',
    ]);
  });

  it('warns of a first feed that comes later than the profile opens with it, or not at all', () => {
    // By its own words within three and a half days of emergence; it is marked up to a day late.
    expect(warned(days(24, { firstFeedDay: 7.4 }), 'feed')).toEqual([]);
    expect(warned(days(24, { firstFeedDay: 9 }), 'feed')).toEqual([
      'The first feed comes by day 9, and the profile wants it within 3 d 12 h of emergence on day 3.',
    ]);
    expect(warned(days(24, { firstFeedDay: null }), 'feed').join()).toContain('has not come by');
    // Seed that came up yesterday is not due yet.
    expect(warned(days(24, { emergedDay: 11, firstFeedDay: null }), 'feed')).toEqual([]);
    expect(warned(days(24, { emergedDay: null, firstFeedDay: null }), 'emergence')).toEqual([
      'Half of the seed is not up within 12 days.',
    ]);
  });

  it('warns of a tray drier than its stage bears, and of plants that lack something', () => {
    const dry = madeCourse(
      Array.from({ length: 288 }, () => 24),
      { dryBackShare: Array.from({ length: 288 }, (_, i) => i / 288) },
    );
    const rescue = `${(100 * (profile.stages[0]?.rescue.share ?? 0)).toFixed(0)} %`;
    expect(warned(days(24, { course: dry }), 'dry')).toEqual([
      `germinate: the tray gets too dry, 100 % of its water gone on day 12, where the stage calls ${rescue} too dry.`,
    ]);
    expect(warned(days(24, { growthShare: 0.6 }), 'growth').join()).toContain('Plants grow 60 %');
    expect(warned(days(24, { deadShare: 0.2 }), 'growth')).toEqual([
      '20 % of the plants are lost.',
    ]);
  });
});
