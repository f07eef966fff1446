/** A line of an error budget, and how lines add up. */
import { standardFromLimit } from '../../shared/physics/bridge';

export interface BudgetItem {
  readonly name: string;
  /** Largest error either way, in the budget's unit. */
  readonly limit: number;
  /** Where the figure comes from. */
  readonly source: string;
}

export interface BudgetTotal {
  /** All lines at their worst, in the same direction. */
  readonly worst: number;
  /** Expanded uncertainty, k = 2: each line as a rectangle, added in squares (GUM 4.3.7, 5.1.2). */
  readonly likely: number;
}

export function total(items: readonly BudgetItem[]): BudgetTotal {
  return {
    worst: items.reduce((sum, item) => sum + item.limit, 0),
    likely: 2 * Math.hypot(...items.map((item) => standardFromLimit(item.limit))),
  };
}
