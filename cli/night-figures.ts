/**
 * `npm run bench -- nights [share]`: what `explain` makes of nights on the bench, as a confusion matrix. Rules are tuned
 * on even seeds; odd ones were only ever counted. `share`, 0 to 1: so many of them, for a quick look.
 */
import { FAULT_NAMES, type FaultName } from '../firmware/bench/faults';
import { runNight } from '../firmware/bench/nights/night';
import { isUnseen, type NightKind, nightOf } from '../firmware/bench/nights/plan';
import { judgeNight, type NightVerdict } from './explain/judge';

/** Twelve rounds of all faults alone, half of them unseen; as many pairs; and weeks in which nothing is wrong. */
const NIGHTS: Readonly<Record<NightKind, number>> = {
  single: 12 * FAULT_NAMES.length,
  pair: 10 * FAULT_NAMES.length,
  calm: 24,
};
const GOALS: Readonly<Record<NightKind, string>> = {
  single: 'right cause named first, goal 95 %',
  pair: 'all causes among the named ones, goal 90 %',
  calm: 'weeks without a fault in which nothing is told, goal 100 %',
};
const KINDS = Object.keys(NIGHTS) as readonly NightKind[];

interface Count {
  right: number;
  of: number;
}

/** What is kept of a night: its journal is not. */
interface Kept extends Pick<NightVerdict, 'due' | 'first' | 'named' | 'right'> {
  readonly fault: FaultName | null;
  readonly unseen: boolean;
}

const percent = ({ right, of }: Count): string =>
  `${right} of ${of}${of === 0 ? '' : ` (${((100 * right) / of).toFixed(1)} %)`}`;

function count(nights: readonly Kept[]): Count {
  return { right: nights.filter(({ right }) => right).length, of: nights.length };
}

function nightsOf(kind: NightKind, share: number): readonly Kept[] {
  const seeds = Math.max(2, Math.round(NIGHTS[kind] * share));
  return Array.from({ length: seeds }, (_, seed) => {
    const plan = nightOf(seed, kind);
    const { due, first, named, right } = judgeNight(runNight(plan));
    const fault = plan.troubles[0]?.fault ?? null;
    return { due, first, named, right, fault, unseen: isUnseen(plan) };
  });
}

const print = (line: string): boolean => process.stdout.write(`${line}\n`);

/** A row for each fault that was felt: how often its cause came first, and what came first instead. */
function printMatrix(nights: readonly Kept[]): void {
  print(`${'fault alone'.padEnd(18)}${'felt'.padEnd(6)}${'first'.padEnd(7)}named first instead`);
  for (const fault of FAULT_NAMES) {
    const felt = nights.filter((night) => night.fault === fault && night.due.length > 0);
    const wrong = new Map<string, number>();
    for (const { right, first } of felt)
      if (!right) wrong.set(first ?? 'nothing', (wrong.get(first ?? 'nothing') ?? 0) + 1);
    const instead = [...wrong].map(([cause, times]) => `${cause} ${times}`).join(', ') || '-';
    const first = `${count(felt).right}`;
    print(`${fault.padEnd(18)}${`${felt.length}`.padEnd(6)}${first.padEnd(7)}${instead}`);
  }
}

/** Runs them all, prints the figures, and returns how many nights were told wrongly. */
export function printNights(share = 1): number {
  let wrong = 0;
  for (const kind of KINDS) {
    const nights = nightsOf(kind, share);
    const felt = nights.filter(({ due }) => due.length > 0 || kind === 'calm');
    const faint = nights.filter(({ due }) => due.length === 0 && kind !== 'calm');
    print(`${GOALS[kind]}:`);
    for (const unseen of [false, true]) {
      const part = felt.filter((night) => night.unseen === unseen);
      print(`  ${unseen ? 'odd seeds, unseen ' : 'even seeds, tuned'}  ${percent(count(part))}`);
    }
    if (kind !== 'calm')
      print(`  felt by nothing: told right or not at all  ${percent(count(faint))}`);
    if (kind === 'single') printMatrix(nights);
    wrong += nights.filter(({ right }) => !right).length;
  }
  return wrong;
}
