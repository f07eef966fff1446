/** Rehearsals made up, for what is told of many. */
import type { Course, Rehearsal } from '../../firmware/bench/season/rehearsal';

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
