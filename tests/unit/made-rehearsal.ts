/** Rehearsals made up, for what is told of many. */
import type { Course, Rehearsal, StageRun } from '../../firmware/bench/season/rehearsal';

const NO_COURSE: Course = {
  days: [],
  rootZoneC: [],
  bandLowC: [],
  bandHighC: [],
  dryBackShare: [],
  eachMl: [],
  reservoirMl: [],
  standingShare: [],
};

/** A quiet month, but for what `changes`. */
export const madeRehearsal = (changes: Partial<Rehearsal>): Rehearsal => ({
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
  doses: [],
  course: NO_COURSE,
  ...changes,
});

/** An hour after the other: `rootZoneC` as named, and all else the same. */
export function madeCourse(rootZoneC: readonly number[], changes: Partial<Course> = {}): Course {
  const all = (value: number): readonly number[] => rootZoneC.map(() => value);
  return {
    days: rootZoneC.map((_, i) => (i + 1) / 24),
    rootZoneC,
    bandLowC: all(23),
    bandHighC: all(25),
    dryBackShare: all(0.05),
    eachMl: all(4),
    reservoirMl: all(3_000),
    standingShare: all(0.9),
    ...changes,
  };
}

/** A rehearsal of as many hours as there are temperatures. */
export const hours = (rootZoneC: readonly number[], changes: Partial<Rehearsal> = {}): Rehearsal =>
  madeRehearsal({ days: rootZoneC.length / 24, course: madeCourse(rootZoneC), ...changes });

const stage = (index: number, fromDay: number, lid: StageRun['lid']): StageRun => ({
  ...{ stage: index, fromDay, forDays: 5, lid, inBandShare: 0.8, coldestC: 20, warmestC: 22 },
  ...{ ml: 0, doses: 0 },
});

/** Ten days of lettuce; everything comes `late` days later than in the first. */
const season = (late: number, changes: Partial<Rehearsal>): Rehearsal =>
  hours(
    Array.from({ length: 240 }, (_, i) => 22 + Math.sin(i + late)),
    {
      emergedDay: 3 + late,
      firstFeedDay: 6 + late,
      stages: [stage(0, 0, 'closed'), stage(1, 3 + late, 'vents-open'), stage(2, 5, 'propped')],
      refillDays: [8],
      doses: [{ day: 6 + late, stage: 2, ml: 60 }],
      ...changes,
    },
  );

/** Three rehearsals that differ by a day each; two of them are too warm, two are fed twice. */
export const madeSeasons = (): readonly Rehearsal[] => {
  const again = { day: 7.5, stage: 2, ml: 60 };
  return [
    season(0, { doses: [{ day: 6, stage: 2, ml: 60 }, again] }),
    season(1, {
      alarms: [{ alarm: 'too-warm', day: 2.5 }],
      doses: [{ day: 7, stage: 2, ml: 60 }, again],
    }),
    season(2, { alarms: [{ alarm: 'too-warm', day: 4 }], refillDays: [7, 9] }),
  ];
};
