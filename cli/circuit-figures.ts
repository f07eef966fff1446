/** Figures of the circuit for `npm run bench`: mistakes its rules find, single faults tried in the simulator. */
import { CIRCUIT } from '../hardware/circuit/circuit';
import { WHILE_HEATING } from '../hardware/faults/left-on';
import { faultWords } from '../hardware/faults/single';
import { faultTable, tryFaults } from '../hardware/faults/try';
import { MUTATIONS, missed } from '../hardware/mutations/all';
import { haveSimulator, MISSING } from '../hardware/spice/run';
import type { Row } from './figure-rows';

export interface CircuitFigures {
  readonly rows: readonly Row[];
  /** What was tried, below the rows. */
  readonly table: string;
}

/** Tries every single fault; takes about half a minute. */
export function circuitFigures(): CircuitFigures {
  const caught = {
    what: 'mistakes planted in the netlist and found by a rule',
    value: `${MUTATIONS.length - missed().length} of ${MUTATIONS.length}`,
    goal: 'all',
  };
  const idle = 'single faults tried with nothing asked for, and outputs left on';
  const heating = 'single faults tried while the mat heats, and pumps that run';
  const known = Object.keys(WHILE_HEATING);
  const goals = { idle: '0 left on', heating: `no more than the ${known.length} that are ended` };
  if (!haveSimulator()) {
    const value = 'not tried';
    return {
      rows: [
        caught,
        { what: idle, value, goal: goals.idle },
        { what: heating, value, goal: goals.heating },
      ],
      table: MISSING,
    };
  }
  const trials = tryFaults(CIRCUIT);
  const left = trials.filter(({ leftOn }) => leftOn.length > 0);
  const runs = trials.filter(({ whileHeating }) => whileHeating.length > 0);
  const unknown = runs.map(({ fault }) => faultWords(fault)).filter((one) => !known.includes(one));
  return {
    rows: [
      caught,
      { what: idle, value: `${trials.length} tried, ${left.length} left on`, goal: goals.idle },
      {
        what: heating,
        value: `${trials.length} tried, ${runs.length} run${unknown.length === 0 ? '' : `, new: ${unknown.join(', ')}`}`,
        goal: goals.heating,
      },
    ],
    table: faultTable(trials),
  };
}
