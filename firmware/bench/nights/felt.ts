/**
 * Which troubles of a night could be felt at all, by the truth of the bench and never by the journal: a dead mat that
 * nobody asked for heat, an empty tube without a dose, and whatever another fault hid, can be found by nobody.
 */
import type { Profile } from '../../../shared/profile/profile';
import { HOUR_MS, MINUTE_MS } from '../../../shared/units/time';
import type { FaultName } from '../faults';
import type { BenchState } from '../state';
import type { Trouble } from './plan';

export const LOOK_MS = 5 * MINUTE_MS;

/** What is so at one look. */
export interface Look {
  /** Since sowing. */
  readonly atMs: number;
  readonly on: readonly FaultName[];
  readonly truth: BenchState;
}

const NO_BOARD: readonly FaultName[] = ['mains-cut', 'board-hung'];
const NO_SCALE: readonly FaultName[] = [
  'scale-unplugged',
  'scale-saturated',
  'scale-noisy',
  'tray-lifted',
];
const FLOWS: readonly FaultName[] = ['siphon', 'pump-stuck-on', 'wick', 'leak'];
const MAT_WELDED: readonly FaultName[] = ['mat-stuck-on', 'mat-switch-welded'];
const MAT_CUT_OFF: readonly FaultName[] = ['mat-lead-open', 'mat-fuse-blown'];
const NO_PROBE: readonly FaultName[] = ['probe-open', 'probe-short', 'probe-stuck', 'probe-out'];

/** What hides each while both are there, besides a board that does not run. */
const HIDDEN_BY: Readonly<Record<FaultName, readonly FaultName[]>> = {
  'probe-open': [],
  'probe-short': ['probe-open'],
  'probe-stuck': ['probe-open', 'probe-short'],
  'probe-out': ['probe-open', 'probe-short', 'probe-stuck'],
  'mat-probe-open': [],
  'mat-probe-stuck': ['mat-probe-open'],
  'mat-dead': [...MAT_WELDED, ...MAT_CUT_OFF],
  'mat-lead-open': [...MAT_WELDED, 'mat-fuse-blown'],
  'mat-fuse-blown': MAT_WELDED,
  'mat-stuck-on': [
    'mat-dead',
    ...MAT_CUT_OFF,
    'tray-lifted',
    'mat-probe-open',
    'mat-probe-stuck',
    ...NO_PROBE,
  ],
  'mat-switch-welded': ['mat-stuck-on'],
  'tube-off': ['pump-stuck-on', 'siphon'],
  'tube-worn': ['pump-stuck-on', 'siphon', 'tube-off', 'reservoir-empty'],
  'reservoir-empty': ['pump-stuck-on', 'siphon', 'tube-off'],
  leak: [...NO_SCALE, ...FLOWS, 'tube-off'],
  wick: [...NO_SCALE, ...FLOWS, 'tube-off'],
  siphon: [...NO_SCALE, ...FLOWS, 'tube-off'],
  'pump-stuck-on': [...NO_SCALE, ...FLOWS, 'tube-off'],
  'scale-unplugged': [],
  'scale-saturated': ['scale-unplugged'],
  'scale-noisy': ['scale-unplugged', 'scale-saturated'],
  'lid-open': [...NO_SCALE, ...FLOWS],
  'tray-lifted': ['scale-unplugged', 'scale-saturated'],
  'mains-cut': [],
  'board-hung': [],
  'link-noise': [],
};

type Felt = (seen: readonly Look[], profile: Profile) => boolean;

const forH = (seen: readonly Look[]): number => (seen.length * LOOK_MS) / HOUR_MS;
const lasts =
  (leastH: number): Felt =>
  (seen) =>
    forH(seen) >= leastH;

/** By how much a count of the bench rose over the looks that follow each other. */
function rise(seen: readonly Look[], count: (truth: BenchState) => number): number {
  return seen.reduce((sum, { atMs, truth }, i) => {
    const before = seen[i - 1];
    const follows = before !== undefined && atMs - before.atMs <= LOOK_MS;
    return follows ? sum + count(truth) - count(before.truth) : sum;
  }, 0);
}

/** A dose ran: 60 ml take most of a minute. */
const pumped: Felt = (seen) => rise(seen, ({ pump }) => pump.ranS) >= 10;
const spilled: Felt = (seen) => rise(seen, ({ lost }) => lost.spilledG) >= 40;
const delivered: Felt = (seen) => rise(seen, ({ pump }) => pump.deliveredMl) >= 40;
/** A probe is true to this, K. */
const PROBE_K = 0.5;
/** The mat was on while it was so, for longer than from one look at its line to the next. */
const lookedAt: Felt = (seen) => forH(seen.filter(({ truth }) => truth.outputs.mat)) >= 0.25;
const bandOf = ({ stages }: Profile) => stages[0]?.band ?? { lowC: 0, highC: 99 };

const FELT: Readonly<Record<FaultName, Felt>> = {
  'probe-open': lasts(0),
  'probe-short': lasts(0),
  'probe-stuck': lasts(0.75),
  // One that hangs in a room as warm as the root zone reads on.
  'probe-out': (seen) =>
    forH(seen) >= 1 &&
    seen.slice(0, 2).every(({ truth }) => Math.abs(truth.rootZoneC - truth.roomC) > 3.5),
  'mat-probe-open': lasts(0),
  'mat-probe-stuck': lasts(0.75),
  'mat-dead': (seen, profile) => {
    const asked = seen.filter(({ truth }) => truth.outputs.mat);
    return (
      forH(asked) >= 1 && asked.some(({ truth }) => truth.rootZoneC < bandOf(profile).lowC - 1)
    );
  },
  'mat-lead-open': lookedAt,
  'mat-fuse-blown': lookedAt,
  // It is held off as soon as it is asked for.
  'mat-switch-welded': (seen, profile) =>
    seen.some(({ truth }) => truth.outputs.mat || truth.rootZoneC < bandOf(profile).lowC - PROBE_K),
  'mat-stuck-on': (seen, profile) =>
    seen.some(({ truth }) => truth.rootZoneC > bandOf(profile).highC + 1.5),
  'tube-off': pumped,
  'tube-worn': pumped,
  'reservoir-empty': pumped,
  leak: spilled,
  wick: spilled,
  siphon: delivered,
  'pump-stuck-on': delivered,
  'scale-unplugged': lasts(0),
  'scale-saturated': lasts(0),
  'scale-noisy': lasts(0.5),
  'lid-open': (seen, { stages }) => forH(seen) >= 1 && stages[0]?.lid !== 'off',
  'tray-lifted': lasts(0.3),
  'mains-cut': lasts(0),
  'board-hung': lasts(0),
  'link-noise': () => false,
};

/** The faults of `troubles` that did something which a perfect reader of the journal could see. */
export function feltOf(
  troubles: readonly Trouble[],
  looks: readonly Look[],
  profile: Profile,
): readonly FaultName[] {
  return troubles
    .map(({ fault }) => fault)
    .filter((fault) => {
      const isBoards = NO_BOARD.includes(fault);
      const hiding = HIDDEN_BY[fault];
      // A probe in doubt stays so until it is sound again, whatever else then becomes of it.
      let inDoubt = false;
      const seen = looks.filter(({ on, truth }) => {
        const isHidden = on.some((other) => other !== fault && hiding.includes(other));
        inDoubt = isHidden || (inDoubt && on.includes(fault) && NO_PROBE.includes(fault));
        return (
          on.includes(fault) &&
          (isBoards || (truth.powered && !on.some((other) => NO_BOARD.includes(other)))) &&
          !inDoubt
        );
      });
      return seen.length > 0 && FELT[fault](seen, profile);
    });
}
