/** Figures of the circuit for `npm run bench`: mistakes its rules find, single faults tried in the simulator. */
import { CIRCUIT } from '../hardware/circuit/circuit';
import { faultTable, tryFaults } from '../hardware/faults/try';
import { MUTATIONS, missed } from '../hardware/mutations/all';
import { haveSimulator, MISSING } from '../hardware/spice/run';
import type { Row } from './figure-rows';

export interface CircuitFigures {
  readonly rows: readonly Row[];
  /** What was tried, below the rows. */
  readonly table: string;
}

/** Tries every single fault; takes about ten seconds. */
export function circuitFigures(): CircuitFigures {
  const caught = {
    what: 'mistakes planted in the netlist and found by a rule',
    value: `${MUTATIONS.length - missed().length} of ${MUTATIONS.length}`,
    goal: 'all',
  };
  const what = 'single faults tried, and outputs left on that are not asked for';
  const goal = '0 left on';
  if (!haveSimulator()) {
    return { rows: [caught, { what, value: 'not tried', goal }], table: MISSING };
  }
  const trials = tryFaults(CIRCUIT);
  const left = trials.filter(({ leftOn }) => leftOn.length > 0);
  return {
    rows: [caught, { what, value: `${trials.length} tried, ${left.length} left on`, goal }],
    table: faultTable(trials),
  };
}
