/** Whether probes of another kind are as good as the reference ones. */
import { formatQuantity } from '../../shared/units';
import type { ProbeBudget } from '../budget/probe';
import { PROBE_PROMISE_K } from '../checks/senses';
import type { ReportInput, Verdict } from './verdict';

/** As it is printed: what a reader cannot see decides nothing. */
const tenths = (kelvin: number): number => Math.round(10 * kelvin);

/** One verdict where other probes are asked about, by their budgets at several temperatures. */
export function probeVerdicts(input: ReportInput, budgets: readonly ProbeBudget[]): Verdict[] {
  if (input.probe === null) return [];
  const asBuiltK = Math.max(...budgets.map(({ asBuilt }) => asBuilt.likely));
  const calibratedK = Math.max(...budgets.map(({ calibrated }) => calibrated.likely));
  const isAsGood =
    tenths(asBuiltK) <= tenths(PROBE_PROMISE_K.asBuilt) &&
    tenths(calibratedK) <= tenths(PROBE_PROMISE_K.calibrated);
  const kelvin = (k: number): string => formatQuantity('temperature-difference', k, input.units);
  const reads = `Such probes, as exact as the reference ones, are likely within ${kelvin(asBuiltK)} as built and ${kelvin(calibratedK)} after one offset; the controller has to be told of them (\`trayward probe curve\`)`;
  return [
    isAsGood
      ? { about: 'probe', level: 'fits', sentence: `${reads}.` }
      : {
          about: 'probe',
          level: 'caution',
          sentence: `${reads}. The reference probes keep ${kelvin(PROBE_PROMISE_K.asBuilt)} and ${kelvin(PROBE_PROMISE_K.calibrated)}: take those, or tell three rows of the maker's table instead of one B.`,
        },
  ];
}
