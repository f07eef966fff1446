/** The trays of the plans in a store, after a look at the controller that answers. */

import { asFailure } from '../as-failure';
import type { Context } from '../context';
import { pullInto } from '../journal/pull-into';
import { traysOf } from './as-marked';
import { storedMarks, type TrayMarks } from './journal-marks';
import { type KeptPlan, keptPlans } from './plan-file';

/**
 * Pulls what was marked since the journal was pulled last, where a controller answers and `offline` is false: a plan is
 * told without one too, so whatever keeps it from answering is no failure here.
 */
export async function pullLatest(context: Context, store: string, offline: boolean): Promise<void> {
  if (offline) return;
  try {
    await pullInto(context, await context.client(), store, () => {});
  } catch (error) {
    if (asFailure(error, false).kind === 'internal') throw error;
  }
}

/** Which tray is whose, by the id of the plan, of `plans` and of all that are kept. */
export const traysIn = (
  store: string,
  plans: readonly KeptPlan[],
): ReadonlyMap<string, TrayMarks> => traysOf([...plans, ...keptPlans(store)], storedMarks(store));
