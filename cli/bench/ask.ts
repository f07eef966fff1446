/** Drives a running bench, and says how it stands. */

import { askBench, NoBench } from '../../firmware/bench/server/ask';
import type { DoorRequest, DoorResult } from '../../firmware/bench/server/door';
import { benchName, isNamed, isReachedAt, runningBenches } from '../../shared/host/benches';
import { formatQuantity } from '../../shared/units';
import type { Context } from '../context';
import { CommandError, refused, usage } from '../failure';
import { type Fact, facts } from '../terminal/output';

const START_ONE = 'Start one in another terminal: trayward bench start';

const DOOR_ADDRESS = /^tcp:\/\//;

/**
 * Door of the bench that is meant: `named` by --bench, the one whose controller --port names, or the
 * only one that runs. Of several none is guessed: another terminal's tray would be drowned.
 */
export function doorOf({ port }: Context, named: string | null): string {
  const benches = runningBenches();
  const names = benches.map(benchName).join(', ');
  const [only, ...others] = benches.filter((one) =>
    named === null ? port === null || isReachedAt(one, port) : isNamed(one, named),
  );
  if (only !== undefined && others.length > 0) {
    throw usage(
      `There are ${benches.length} benches: ${names}.`,
      `Say which one, for example --bench ${benchName(only)}.`,
      'several-benches',
    );
  }
  if (only !== undefined) return only.door;
  // A bench of another user, or one whose folder of temporary files is another.
  if (named !== null && DOOR_ADDRESS.test(named)) return named;
  const what =
    named !== null
      ? `No bench is called ${named}.`
      : port !== null
        ? `The controller at ${port} is none of a running bench.`
        : 'No bench is running.';
  const next = names === '' ? START_ONE : `There is ${names}. ${START_ONE}`;
  throw new CommandError('no-controller', 'no-bench', what, next);
}

/** The answer of the bench with this door. */
export async function ask(door: string, request: DoorRequest): Promise<DoorResult> {
  try {
    const answer = await askBench(door, request);
    if (answer.ok) return answer.value;
    throw refused('bench-refused', answer.why, 'See `trayward bench --help`.');
  } catch (error) {
    if (!(error instanceof NoBench)) throw error;
    throw new CommandError('no-controller', 'no-bench', error.message, START_ONE);
  }
}

/** The bench at a glance. */
export function stateText({ state, speed }: DoorResult, context: Context): string {
  const { units } = context;
  const { tray, pump, plants, outputs } = state;
  const clock = new Date(state.unixMs).toISOString().slice(0, 16).replace('T', ' ');
  const on = (value: boolean): string => (value ? 'on' : 'off');
  const list: Fact[] = [
    {
      label: 'time',
      value: formatQuantity('duration', state.timeS, units),
      note: `${clock} in the room (UTC); ${speed === 0 ? 'time stands still' : `${speed} times real time`}`,
    },
    {
      label: 'board',
      value: state.powered ? 'powered' : 'no mains',
      note: `${state.boots} start${state.boots === 1 ? '' : 's'}, the last: ${state.lastBoot?.cause ?? 'none'}`,
    },
    {
      label: 'lamp',
      value: `${on(outputs.lamp)} just now`,
      note: `sounder ${on(outputs.sounder)}`,
    },
    {
      label: 'root zone',
      value: formatQuantity('temperature', state.rootZoneC, units),
      note: `mat ${on(outputs.mat)}, ${formatQuantity('temperature', state.matC, units)}; room ${formatQuantity('temperature', state.roomC, units)}; lid ${state.lid}`,
    },
    {
      label: 'tray',
      value: formatQuantity('mass', tray.massG, units),
      note: tray.onScale
        ? `dry-back ${formatQuantity('share', tray.dryBackShare, units)}`
        : 'not on the scale',
    },
    {
      label: 'on the scale',
      value: formatQuantity('mass', state.scale.loadG, units),
    },
    {
      label: 'reservoir',
      value: formatQuantity('volume', pump.reservoirMl, units),
      note: `pump ${on(outputs.pump)}; given so far ${formatQuantity('volume', pump.deliveredMl, units)}`,
    },
    {
      label: 'seedlings',
      value: `${formatQuantity('share', plants.emergedShare, units)} up`,
      note: `${formatQuantity('mass', plants.massG, units)}`,
    },
  ];
  const faults = state.faults.map(({ name, leftS }) =>
    leftS === null ? name : `${name} (${formatQuantity('duration', leftS, units)} left)`,
  );
  if (faults.length > 0) list.push({ label: 'faults', value: faults.join(', ') });
  return facts(list, context.style);
}
