/** Which tasks of a plan are due, from today on. Pure. */
import { daysOf, type Task, type TaskKind } from '../../shared/planning/agenda';
import type { Day } from '../../shared/planning/calendar-day';
import { PLAN_LIMITS } from '../../shared/planning/limits';
import type { Happened } from '../../shared/planning/request';
import type { ToldPlan } from '../words/told-plan';

export interface DueTask {
  readonly task: Task;
  /** The day it is due, the first one where it is done daily. */
  readonly day: Day;
  readonly isOverdue: boolean;
}

/** What only a word from the grower, or a mark, closes; and when it is closed. */
const CLOSED_BY: Partial<Readonly<Record<TaskKind, (happened: Happened) => boolean>>> = {
  sow: ({ sown }) => sown !== null,
  emerged: ({ emerged }) => emerged !== null,
  transplant: ({ transplanted }) => transplanted !== null,
};

/** What a count closes without a word: nobody is told off for a count that was not made. */
function isCounted({ kind, day }: Task, { counted }: Happened): boolean {
  if (counted === null) return false;
  return kind === 'count' || (kind === 'count-again' && counted.day >= day);
}

/** What is done once has a last day too: it is due until then. */
function nextDay(task: Task, today: Day, last: Day): Day | undefined {
  if (task.everyDays === 0 && task.day < today) return task.until >= today ? today : undefined;
  return daysOf(task, last).find((day) => day >= today);
}

/** Those of the next `days` days, today among them, and what is overdue. Each task once: what is daily on its first day. */
export function dueTasks(
  { plan, happened }: ToldPlan,
  today: Day,
  days: number,
): readonly DueTask[] {
  const last = today + days - 1;
  return plan.tasks.flatMap((task): DueTask[] => {
    const isClosed = CLOSED_BY[task.kind]?.(happened);
    if (isClosed === false && task.day < today) return [{ task, day: task.day, isOverdue: true }];
    if (isClosed === true || isCounted(task, happened)) return [];
    // Nothing else of a batch is due while it is not even sown in time.
    if (happened.sown === null && plan.dates.sow.planned < today) return [];
    const next = nextDay(task, today, last);
    return next === undefined || next > last ? [] : [{ task, day: next, isOverdue: false }];
  });
}

/** Further ahead than any task of a plan. */
const EVER_DAYS = PLAN_LIMITS.aheadMostDays + PLAN_LIMITS.behindMostDays;

/** The first of them, whenever that is, what is overdue before all; null where all is done. */
export function nextDue(told: ToldPlan, today: Day): DueTask | null {
  const [first = null] = [...dueTasks(told, today, EVER_DAYS)].sort((a, b) => a.day - b.day);
  return first;
}
