/** The plan of a batch: from a date and a number of plants to dates, needs and tasks. Pure: no clock, no zone. */
import type { Crop } from '../crops/library/crop';
import type { Verdict } from '../physics/verdict';
import { batchTasks, type Task } from './agenda';
import type { Day } from './calendar-day';
import { type BatchDates, batchDates, notYetSown, tooFarAhead } from './dates';
import { PLAN_DEFAULTS } from './limits';
import { batchNeeds, type Needs, type SeedNeed, seedNeed } from './needs';
import {
  firstPace,
  laterPace,
  type Pace,
  type Room,
  type RootZone,
  rootZoneAtFirst,
  type Slowdown,
  slowdownIn,
  tableRoom,
  tableRootZone,
} from './pace';
import type { Happened, PlanRequest } from './request';
import { firstFeedDay, type StageSpan, stageSpans } from './stages';
import { type Stand, standOf } from './stand';

/** Where a batch is reckoned to stand. */
export type PlannedRoom = Room & { readonly by: 'told' | 'tables' | 'usual' };

export interface BatchPlan {
  readonly dates: BatchDates;
  readonly room: PlannedRoom;
  readonly rootZone: RootZone;
  /** Days to emergence, and from there to transplanting, with who says so. */
  readonly first: Pace;
  readonly later: Pace;
  readonly slowdown: Slowdown;
  readonly seed: SeedNeed;
  readonly stages: readonly StageSpan[];
  readonly needs: Needs;
  readonly tasks: readonly Task[];
  /** Null before it is counted. */
  readonly stand: Stand | null;
}

/** What a plan fails by: then that is to be changed. */
export type PlanTrouble = 'crop' | 'cold' | 'warm' | 'date' | 'far' | 'order' | 'numbers' | 'light';
export type Planning =
  | { readonly ok: true; readonly value: BatchPlan }
  | { readonly ok: false; readonly trouble: PlanTrouble; readonly why: string };

const by = (trouble: PlanTrouble, { why }: { readonly why: string }): Planning => ({
  ok: false,
  trouble,
  why,
});

/** The room as it was told; else that in which the tables counted their days; else, where they do not say, a usual one. */
function roomOf(crop: Crop, { room }: PlanRequest): PlannedRoom {
  if (room !== null) return { ...room, by: 'told' };
  const tables = tableRoom(crop);
  if (tables !== null) return { ...tables, by: 'tables' };
  return { nightC: PLAN_DEFAULTS.roomC, dayC: PLAN_DEFAULTS.roomC, by: 'usual' };
}

/**
 * The plan of `request`, made on the day `today`, after what has `happened`. Refuses, saying why, a crop that is sown where it
 * stays, a room it does not come up or grow in, dates that cannot be kept, and numbers that cannot be.
 */
export function planBatch(
  crop: Crop,
  request: PlanRequest,
  happened: Happened,
  today: Day,
): Planning {
  if (!crop.isTransplanted) {
    const why = `${crop.name} is sown where it stays: moving spoils it, so there is no transplant to plan for.`;
    return by('crop', { why });
  }
  const far = tooFarAhead(request.aim, happened, today);
  if (far !== null) return by('far', { why: far });
  const room = roomOf(crop, request);
  const hasMat = request.mat !== null;
  const rootZone =
    room.by === 'tables' && hasMat ? tableRootZone(crop) : rootZoneAtFirst(crop, room, hasMat);
  const slowdown = slowdownIn(crop, room);
  const first = firstPace(crop, rootZone);
  if (!first.ok) return by(isTooWarm(crop, rootZone) ? 'warm' : 'cold', first);
  if (!slowdown.ok) return by('cold', slowdown);
  const later = tableLater(crop, slowdown.value.times);
  if (!later.ok) return by('crop', later);
  const dates = batchDates(request.aim, happened, first.value, later.value, today);
  if (!dates.ok) return by('date', dates);
  const unsown = notYetSown(happened, dates.value.sow.planned);
  if (unsown !== null) return by('order', { why: unsown });
  const seed = seedNeed(crop, request, rootZone);
  if (!seed.ok) return by('numbers', seed);
  const stages = stageSpans(crop, dates.value, room, rootZone);
  const needs = batchNeeds(crop, request, seed.value, stages, firstFeedDay(dates.value));
  if (!needs.ok) return by('light', needs);
  const stand = standOf(request, seed.value, happened);
  const value: BatchPlan = {
    dates: dates.value,
    room,
    rootZone,
    first: first.value,
    later: later.value,
    slowdown: slowdown.value,
    seed: seed.value,
    stages,
    needs: needs.value,
    tasks: batchTasks(crop, dates.value, stages, { happened, stand, today }),
    stand,
  };
  return { ok: true, value };
}

/** Warmer than the band that the crop is to come up in. */
function isTooWarm({ stages: [start] }: Crop, { dayC }: RootZone): boolean {
  const [band] = start?.rootZoneC ?? [];
  return band !== undefined && dayC > band.high;
}

/** After emergence; what tables count before it is as long as it takes on a mat, as theirs stood. */
function tableLater(crop: Crop, slowdown: number): Verdict<Pace> {
  const theirs = firstPace(crop, tableRootZone(crop));
  return theirs.ok ? laterPace(crop, theirs.value, slowdown) : theirs;
}
