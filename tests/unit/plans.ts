/** Plans for tests: what is not said is usual. */
import type { Crop } from '../../shared/crops/library/crop';
import { cropNamed } from '../../shared/crops/library/library';
import { type Day, readDay } from '../../shared/planning/calendar-day';
import { PLAN_DEFAULTS } from '../../shared/planning/limits';
import { type BatchPlan, planBatch } from '../../shared/planning/plan';
import { type Happened, NOTHING_YET, type PlanRequest } from '../../shared/planning/request';

export function day(text: string): Day {
  const read = readDay(text);
  if (read === null) throw new Error(`no day: ${text}`);
  return read;
}

export const TODAY = day('2026-12-01');

export function requestFor(changes: Partial<PlanRequest>): [Crop, PlanRequest] {
  const request: PlanRequest = {
    crop: 'pepper',
    aim: { by: 'sow', day: TODAY + 30 },
    plants: 60,
    germination: null,
    spareShare: PLAN_DEFAULTS.spareShare,
    certainty: PLAN_DEFAULTS.certainty,
    room: null,
    mat: PLAN_DEFAULTS.mat,
    light: PLAN_DEFAULTS.light,
    cellsPerTray: PLAN_DEFAULTS.cellsPerTray,
    plug: null,
    ppfdUmol: PLAN_DEFAULTS.ppfdUmol,
    stock: PLAN_DEFAULTS.stock,
    ...changes,
  };
  const crop = cropNamed(request.crop);
  if (!crop.ok) throw new Error(crop.why);
  return [crop.value, request];
}

/** A plan that can be made. */
export function planOf(changes: Partial<PlanRequest>, happened: Happened = NOTHING_YET): BatchPlan {
  const plan = planBatch(...requestFor(changes), happened, TODAY);
  if (!plan.ok) throw new Error(plan.why);
  return plan.value;
}
