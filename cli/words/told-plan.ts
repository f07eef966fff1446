/** A plan with what it was made from, as it is told. */
import type { Crop } from '../../shared/crops/library/crop';
import type { BatchPlan } from '../../shared/planning/plan';
import type { Happened, PlanRequest } from '../../shared/planning/request';

/** A plan with what it was made from. */
export interface ToldPlan {
  readonly name: string;
  readonly crop: Crop;
  readonly request: PlanRequest;
  readonly happened: Happened;
  readonly plan: BatchPlan;
  /** Controller whose stored journal has dated it; null for none. */
  readonly datedBy: string | null;
  /** Why some of its marks were left out; null where none was. */
  readonly leftOut: string | null;
}
