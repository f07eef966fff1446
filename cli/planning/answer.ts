/** What the commands of `plan` answer: the page of a plan and its result. */
import type { Context } from '../context';
import { planPage } from '../words/plan';
import type { ToldPlan } from '../words/told-plan';
import type { KeptPlan } from './plan-file';
import { planResult, type WrittenTo } from './result';

/** The page and the result of a plan, and which files were written. */
export function planAnswer(context: Context, kept: KeptPlan, told: ToldPlan, written: WrittenTo) {
  const { units, style } = context;
  const said = Object.values(written).filter((file) => file !== null);
  const page = planPage(told, units, style);
  const text = said.length === 0 ? page : `${page}\nWritten: ${said.join(', ')}`;
  return { result: planResult(kept, told, written, units), text, isLong: true };
}
