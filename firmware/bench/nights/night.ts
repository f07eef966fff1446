/** Runs a night: what the journal says in the morning, and what of its troubles could be felt at all. */
import type { JournalEntry } from '../../../shared/journal/kinds';
import type { Profile } from '../../../shared/profile/profile';
import { Bench } from '../bench';
import type { FaultName } from '../faults';
import { GrowerAt } from '../grower';
import type { BenchState } from '../state';
import type { NightPlan, Trouble } from './plan';
import { SCENES } from './scenes';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const LOOK_MS = 5 * MINUTE_MS;
const MIDNIGHT_UNIX_MS = Date.UTC(2026, 2, 1);
/** A grower who comes daily sets the clock by coming. */
const VISIT_MS = 24 * HOUR_MS;
const PRIME_MS = 20_000;

export interface NightRun {
  readonly plan: NightPlan;
  readonly profile: Profile;
  readonly profileId: number;
  readonly journal: readonly JournalEntry[];
  /** When the night is asked about, Unix ms, and when the tray was sown. */
  readonly nowMs: number;
  readonly sownMs: number;
  /** The faults of the plan that did something to tray, water or board. */
  readonly felt: readonly FaultName[];
}

/** What is so at one look. */
interface Look {
  readonly atMs: number;
  readonly on: readonly FaultName[];
  readonly truth: BenchState;
}

/** Runs it. The same plan gives the same night. */
export function runNight(plan: NightPlan): NightRun {
  const profile = SCENES[plan.scene]();
  const medium = profile.media[0];
  if (medium === undefined) throw new Error('a profile without a medium');
  const bench = new Bench({
    seed: plan.seed,
    crop: 'pepper',
    medium,
    rethrow: true,
    startUnixMs: MIDNIGHT_UNIX_MS + plan.startHour * HOUR_MS,
    room: { meanC: plan.roomC },
    feedMs: 0.9,
  });
  const grower = new GrowerAt(bench);
  primePump(bench, grower);
  grower.commission(profile);
  const profileId = grower.status().profile?.id ?? 0;
  grower.call('clock.set', { unixMs: bench.unixMs });
  grower.call('mark.set', { mark: 'refilled', volumeMl: 4000, feedEc: 0.9 });
  const sownMs = bench.unixMs;
  const looks = liveThrough(bench, grower, plan);
  for (const { fault } of plan.troubles) {
    // Whoever comes plugs the board in again, and a hung one; all else is as it is found.
    if (fault === 'mains-cut' || fault === 'board-hung' || fault === 'link-noise')
      bench.fault(fault, false);
  }
  bench.run(MINUTE_MS);
  grower.connect();
  grower.call('clock.set', { unixMs: bench.unixMs });
  return {
    plan,
    profile,
    profileId,
    journal: grower.journal(),
    nowMs: bench.unixMs,
    sownMs,
    felt: plan.troubles
      .filter((trouble) => isFelt(trouble, looks, profile))
      .map(({ fault }) => fault),
  };
}

/** Water in the tube up to its end, as every grower has it before a dose. */
function primePump(bench: Bench, grower: GrowerAt<Bench>): void {
  bench.hand.putJug();
  bench.run(MINUTE_MS);
  grower.call('pump.run', { ms: PRIME_MS, reason: 'prime' });
  bench.run(MINUTE_MS);
  bench.hand.takeJug();
  bench.run(MINUTE_MS);
}

function liveThrough(bench: Bench, grower: GrowerAt<Bench>, plan: NightPlan): readonly Look[] {
  const startMs = bench.nowMs;
  const endMs = startMs + plan.askedMs;
  const due = [...plan.troubles].sort((a, b) => a.fromMs - b.fromMs);
  const looks: Look[] = [];
  let visitMs = startMs + VISIT_MS;
  while (bench.nowMs < endMs) {
    const next = due[0];
    const nextMs = Math.min(endMs, bench.nowMs + LOOK_MS, startMs + (next?.fromMs ?? Infinity));
    bench.run(nextMs - bench.nowMs);
    if (next !== undefined && bench.nowMs >= startMs + next.fromMs) {
      bench.fault(next.fault, true, next.forMs);
      due.shift();
    }
    if (plan.kind === 'calm' && bench.nowMs >= visitMs) {
      visitMs += VISIT_MS;
      visit(bench, grower, SCENES[plan.scene]());
    }
    const truth = bench.state();
    looks.push({ atMs: bench.nowMs - startMs, on: truth.faults.map(({ name }) => name), truth });
  }
  return looks;
}

/** A round: the clock by connecting, fresh air, a look, and feed where it runs low. */
function visit(bench: Bench, grower: GrowerAt<Bench>, profile: Profile): void {
  grower.connect();
  grower.call('clock.set', { unixMs: bench.unixMs });
  const lid = profile.stages[grower.status().stage?.index ?? 0]?.lid ?? 'closed';
  bench.hand.setLid('propped');
  bench.run(5 * MINUTE_MS);
  bench.hand.setLid(lid);
  if ((grower.status().water.reservoirLeftMl ?? 0) > 1500) return;
  bench.hand.refill();
  grower.call('mark.set', { mark: 'refilled', volumeMl: 4000, feedEc: 0.9 });
}

type Felt = (during: readonly Look[], after: readonly Look[], profile: Profile) => boolean;

const lastedH = (during: readonly Look[]): number => (during.length * LOOK_MS) / HOUR_MS;
const always: Felt = (during) => during.length > 0;
const never: Felt = () => false;
/** How much a count of the bench rose meanwhile. */
const rise = (during: readonly Look[], count: (truth: BenchState) => number): number => {
  const [first, last] = [during[0], during.at(-1)];
  return first && last ? count(last.truth) - count(first.truth) : 0;
};
const pumped: Felt = (during) => rise(during, ({ pump }) => pump.ranS) >= 10;
const spilled: Felt = (during) => rise(during, ({ lost }) => lost.spilledG) >= 40;
const bandOf = ({ stages }: Profile) => stages[0]?.band ?? { lowC: 0, highC: 99 };

const FELT: Readonly<Record<FaultName, Felt>> = {
  'probe-open': always,
  'probe-short': always,
  'probe-stuck': (during) => lastedH(during) >= 0.75,
  // One that falls into a room as warm as the root zone reads on.
  'probe-out': (during) =>
    during.some(({ truth }) => Math.abs(truth.rootZoneC - truth.roomC) > 4) && lastedH(during) >= 1,
  'mat-probe-open': always,
  'mat-probe-stuck': (during) => lastedH(during) >= 0.75,
  'mat-dead': (during, after, profile) =>
    [...during, ...after].some(({ truth }) => truth.rootZoneC < bandOf(profile).lowC - 1),
  'mat-stuck-on': (during, _, profile) =>
    during.some(({ truth }) => truth.rootZoneC > bandOf(profile).highC + 1.5),
  'tube-off': pumped,
  'tube-worn': pumped,
  'reservoir-empty': pumped,
  leak: spilled,
  wick: spilled,
  siphon: (during) => rise(during, ({ pump }) => pump.deliveredMl) >= 40,
  'pump-stuck-on': (during) => rise(during, ({ pump }) => pump.deliveredMl) >= 40,
  'scale-unplugged': always,
  'scale-saturated': always,
  'scale-noisy': (during) => lastedH(during) >= 0.5,
  'lid-open': (during) => lastedH(during) >= 1 && during.some(({ truth }) => truth.lid === 'off'),
  'tray-lifted': (during) => lastedH(during) >= 0.25,
  'mains-cut': always,
  'board-hung': always,
  'link-noise': never,
};

/** Whether a fault could be felt: a dead mat that nobody asked for heat, or an empty tube without a dose, cannot. */
function isFelt(
  { fault, fromMs, forMs }: Trouble,
  looks: readonly Look[],
  profile: Profile,
): boolean {
  const during = looks.filter(({ atMs, on }) => atMs >= fromMs && on.includes(fault));
  const after = looks.filter(
    ({ atMs }) => atMs >= fromMs + forMs && atMs < fromMs + forMs + HOUR_MS,
  );
  const stage = profile.stages[0];
  if (fault === 'lid-open' && stage?.lid === 'off') return false;
  return FELT[fault](during, after, profile);
}
