/** A kept plan after what its controller's journal tells: what the wall, the calendar and the agenda all go by. */
import type { Day } from '../../shared/planning/calendar-day';
import { wrongOrder } from '../../shared/planning/dates';
import { CommandError } from '../failure';
import type { ToldPlan } from '../words/told-plan';
import { type TrayMarks, withMarks } from './journal-marks';
import type { KeptPlan } from './plan-file';
import { reckonedKept } from './reckon';

/** A sowing so many days off the plan is not of this plan, unless its controller is named and it came after the plan. */
const SAME_SOWING_DAYS = 7;

interface Sowing {
  readonly kept: KeptPlan;
  readonly sowDay: Day;
}

/** What no plan can be made of has no day either. */
function sowingOf(kept: KeptPlan): readonly Sowing[] {
  try {
    return [{ kept, sowDay: reckonedKept(kept).plan.dates.sow.planned }];
  } catch (error) {
    if (error instanceof CommandError) return [];
    throw error;
  }
}

const isNamed = ({ kept }: Sowing, { boardId }: TrayMarks): boolean => kept.controller === boardId;

/** A grower may raise another crop by a profile; where nobody said so, it is that of the profile. */
function fits(sowing: Sowing, tray: TrayMarks): boolean {
  const { kept, sowDay } = sowing;
  const near = Math.abs(tray.sown - sowDay) <= SAME_SOWING_DAYS;
  if (isNamed(sowing, tray)) return near || tray.sown >= kept.made;
  return kept.controller === null && near && (tray.crop ?? kept.request.crop) === kept.request.crop;
}

/** The one of `sowings` whose tray it is: the nearest of those that name it, else of all; null where two are as near. */
function ownerOf(sowings: readonly Sowing[], tray: TrayMarks): KeptPlan | null {
  const fitting = sowings.filter((one) => fits(one, tray));
  const named = fitting.filter((one) => isNamed(one, tray));
  const off = ({ sowDay }: Sowing): number => Math.abs(tray.sown - sowDay);
  const [nearest, next] = [...(named.length > 0 ? named : fitting)].sort((a, b) => off(a) - off(b));
  if (nearest === undefined || (next !== undefined && off(next) === off(nearest))) return null;
  return nearest.kept;
}

/**
 * Which tray is whose, by the id of the plan: a tray is of one plan, and a plan of one tray. `plans`: all that may have
 * one, the first of an id counts.
 */
export function traysOf(
  plans: readonly KeptPlan[],
  trays: readonly TrayMarks[],
): ReadonlyMap<string, TrayMarks> {
  const once = plans.filter(({ id }, i) => plans.findIndex((one) => one.id === id) === i);
  const sowings = once.flatMap(sowingOf);
  const owned = trays.flatMap((tray) => {
    const owner = ownerOf(sowings, tray);
    return owner === null ? [] : [[owner.id, tray] as const];
  });
  return new Map(owned.filter(([id]) => owned.filter(([other]) => other === id).length === 1));
}

const UNKNOWN = { emerged: null, counted: null, transplanted: null };

/** `tray`, with less and less of what is marked on it: a mark by mistake spoils those after it, and the sowing stays. */
const lessAndLess = (tray: TrayMarks): readonly TrayMarks[] => [
  tray,
  { ...tray, transplanted: null },
  { ...tray, transplanted: null, counted: null },
  { ...tray, ...UNKNOWN },
];

/** The last day that is marked: a simulated tray may be ahead of this laptop. */
const lastDay = ({ sown, emerged, counted, transplanted }: TrayMarks): Day =>
  Math.max(sown, emerged ?? sown, counted?.day ?? sown, transplanted ?? sown);

/**
 * The plan of `kept` as the grower's own word and the marks of its `tray` have moved it; null: it has none. Marks that
 * contradict the grower's word, or each other, are left out, and said. Throws `CommandError` where there can be no plan.
 */
export function asMarked(kept: KeptPlan, tray: TrayMarks | null, today: Day): ToldPlan {
  if (tray === null) return reckonedKept(kept);
  const atDay = Math.max(today, lastDay(tray));
  const happenedBy = (marks: TrayMarks) => withMarks(kept.happened, marks);
  const leftOut = wrongOrder(happenedBy(tray), atDay);
  const fitting = lessAndLess(tray).find((marks) => wrongOrder(happenedBy(marks), atDay) === null);
  if (fitting === undefined) return { ...reckonedKept(kept), leftOut };
  const happened = happenedBy(fitting);
  return { ...reckonedKept({ ...kept, happened }), datedBy: tray.boardId, leftOut };
}
