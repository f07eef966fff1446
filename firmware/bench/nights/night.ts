/** Runs a night: what the journal says in the morning, and what of its troubles could be felt at all. */
import type { JournalEntry } from '../../../shared/journal/kinds';
import type { Profile } from '../../../shared/profile/profile';
import { HOUR_MS, MINUTE_MS } from '../../../shared/units/time';
import { Bench } from '../bench';
import type { FaultName } from '../faults';
import { GrowerAt } from '../grower';
import { feltOf, LOOK_MS, type Look } from './felt';
import type { NightPlan } from './plan';
import { SCENES } from './scenes';

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
    felt: feltOf(plan.troubles, looks, profile),
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
