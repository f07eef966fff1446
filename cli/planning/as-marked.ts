/** A kept plan after what its controller's journal tells: what the wall, the calendar and the agenda all go by. */
import type { Day } from '../../shared/planning/calendar-day';
import { wrongOrder } from '../../shared/planning/dates';
import type { ToldPlan } from '../words/plan';
import { marksFor, type TrayMarks, withMarks } from './journal-marks';
import type { KeptPlan } from './plan-file';
import { reckonedKept } from './reckon';

/**
 * The plan of `kept` as the grower's own word and the marks that are of it have moved it. Marks that contradict the
 * grower's word are of another batch. Throws `CommandError` where there can be no plan.
 */
export function asMarked(kept: KeptPlan, marks: readonly TrayMarks[], today: Day): ToldPlan {
  const asKept = reckonedKept(kept);
  const found = marksFor(kept, asKept.plan.dates.sow.planned, marks);
  if (found === null) return asKept;
  const happened = withMarks(kept.happened, found);
  if (wrongOrder(happened, today) !== null) return asKept;
  return { ...reckonedKept({ ...kept, happened }), datedBy: found.boardId };
}
