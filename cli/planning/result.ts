/** A plan as programs get it: its days as `2027-03-20`. */
import { daysOf, type Task } from '../../shared/planning/agenda';
import { type Day, dayText } from '../../shared/planning/calendar-day';
import type { DayRange } from '../../shared/planning/dates';
import type { Clash, RoomCheck } from '../../shared/planning/room-check';
import type { UnitSystem } from '../../shared/units';
import { cautions, tellingOf } from '../words/plan';
import { taskWords } from '../words/plan-task';
import type { ToldPlan } from '../words/told-plan';
import type { KeptPlan } from './plan-file';

const orDay = (day: Day | null): string | null => (day === null ? null : dayText(day));
const range = ({ earliest, planned, latest }: DayRange) => ({
  earliest: dayText(earliest),
  planned: dayText(planned),
  latest: dayText(latest),
});

export type WrittenTo = {
  readonly kept: string | null;
  readonly out: string | null;
  readonly ics: string | null;
};

export const NOWHERE: WrittenTo = { kept: null, out: null, ics: null };

/** What `plan make`, `show` and `update` give. */
export function planResult(kept: KeptPlan, told: ToldPlan, written: WrittenTo, units: UnitSystem) {
  const { plan, happened } = told;
  const { dates, needs, seed } = plan;
  return {
    name: kept.name,
    id: kept.id,
    revision: kept.revision,
    datedBy: told.datedBy,
    leftOut: told.leftOut,
    crop: told.crop.name,
    plants: told.request.plants,
    sow: range(dates.sow),
    emerged: range(dates.emerged),
    ready: range(dates.ready),
    days: { toEmergence: plan.first, toTransplant: plan.later },
    growthTimes: plan.slowdown.times,
    room: plan.room,
    rootZone: plan.rootZone,
    seed,
    stages: plan.stages.map((stage) => ({
      ...stage,
      from: dayText(stage.from),
      to: dayText(stage.to),
    })),
    needs,
    tasks: plan.tasks.map((task) => taskResult(task, told, units)),
    happened: {
      sown: orDay(happened.sown),
      emerged: orDay(happened.emerged),
      counted:
        happened.counted === null
          ? null
          : { ...happened.counted, day: dayText(happened.counted.day) },
      transplanted: orDay(happened.transplanted),
    },
    stand: plan.stand,
    cautions: cautions(told, units),
    written,
  };
}
export type PlanResult = ReturnType<typeof planResult>;

function taskResult(task: Task, told: ToldPlan, units: UnitSystem) {
  const { kind, giveOrTakeDays, everyDays } = task;
  return {
    kind,
    day: dayText(task.day),
    until: dayText(task.until),
    everyDays,
    times: daysOf(task).length,
    giveOrTakeDays,
    ...taskWords(tellingOf(told, units), task),
  };
}

/** A clash with its days as text. */
type Dated<T> = T extends unknown ? Omit<T, 'from' | 'to'> & { from: string; to: string } : never;

function datedClash(clash: Clash): Dated<Clash> {
  return { ...clash, from: dayText(clash.from), to: dayText(clash.to) };
}

/** What `plan check` gives. */
export function checkResult(plans: readonly string[], { overlaps, clashes }: RoomCheck) {
  return {
    plans,
    overlaps: overlaps.map(({ batches, from, to }) => ({
      batches,
      from: dayText(from),
      to: dayText(to),
    })),
    clashes: clashes.map(datedClash),
  };
}
export type CheckResult = ReturnType<typeof checkResult>;
