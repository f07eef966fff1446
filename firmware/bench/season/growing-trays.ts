/** Trays whose plants come up and grow, soaked again and marked once or twice: what growth by weight is held against. */
import type { JournalEntry } from '../../../shared/journal/kinds';
import type { Profile } from '../../../shared/profile/profile';
import { DAY_MS, MINUTE_MS } from '../../../shared/units/time';
import { GROWTH_LIMITS } from '../../limits';
import { Bench } from '../bench';
import { GrowerAt } from '../grower';
import { CALMEST_TICK_MS } from '../pace';
import { Random } from '../random';
import { trayOf } from '../tray-of';
import { HABITS } from './habits';
import { planFor } from './matrix';
import { firstFeedEc, type Pass, Visits } from './visits';

/** Those that are up within a week. */
const CROPS = ['cucumber', 'lettuce', 'tomato'] as const;
/** Days from one soak to the next, and minutes that the tray drains before it is marked. */
const APART_DAYS = [6, 12] as const;
const DRAINS_MIN = [20, 60] as const;
const IN_TUB_MS = 10 * MINUTE_MS;
const SETTLES_MS = 10 * MINUTE_MS;
const LOOK_MS = 60 * MINUTE_MS;

export interface GrowingTray {
  readonly seed: number;
  readonly profile: Profile;
  readonly profileId: number;
  readonly journal: readonly JournalEntry[];
  readonly moments: readonly GrownMoment[];
}

/** What the plants weigh at one time, uptime in ms. */
export interface GrownMoment {
  readonly atMs: number;
  readonly grownG: number;
}

/** Crop, room and soaks by the seed; the same seed gives the same tray. */
export function runGrowingTray(seed: number): GrowingTray {
  const draw = new Random(seed ^ 0x9c07);
  const crop = CROPS[seed % CROPS.length] ?? 'cucumber';
  const { profile } = planFor(crop, 0, seed, 'daily');
  const bench = new Bench({
    ...{ seed, crop, ...trayOf(profile), rethrow: true, calmTickMs: CALMEST_TICK_MS },
    room: { meanC: draw.between(18, 24), swingK: draw.between(1, 3) },
    feedMs: firstFeedEc(profile),
  });
  const grower = new GrowerAt(bench);
  grower.call('clock.set', { unixMs: bench.unixMs });
  grower.commission(profile);
  const moments: GrownMoment[] = [];
  const pass = (ms: number): void => {
    for (let leftMs = ms; leftMs > 0; leftMs -= LOOK_MS) {
      moments.push({ atMs: bench.nowMs, grownG: bench.rig.plant.grownG });
      bench.run(Math.min(leftMs, LOOK_MS));
    }
  };
  const visits = new Visits(grower, profile, HABITS.daily, pass);
  visits.firstFill();
  markShaken(grower, draw, pass);
  const soaks = 1 + Math.floor(draw.between(0, 2));
  for (let soak = 0; soak < soaks; soak++) {
    const days = Math.ceil(draw.between(...APART_DAYS));
    for (let day = 0; day < days; day++) {
      pass(DAY_MS);
      visits.visit();
    }
    soakAgain(grower, draw, pass);
  }
  return {
    ...{ seed, profile, profileId: grower.status().profile?.id ?? 0 },
    ...{ journal: grower.journal(), moments },
  };
}

/** Out of the tub, drained, shaken, and marked: no two times to the same gram. */
function soakAgain(grower: GrowerAt<Bench>, draw: Random, pass: Pass): void {
  const { bench } = grower;
  bench.hand.takeTray();
  pass(IN_TUB_MS);
  bench.hand.soak();
  pass(draw.between(...DRAINS_MIN) * MINUTE_MS);
  markShaken(grower, draw, pass);
}

function markShaken(grower: GrowerAt<Bench>, draw: Random, pass: Pass): void {
  const { hand, rig } = grower.bench;
  hand.shakeOff(draw.between(0, GROWTH_LIMITS.lessShare) * rig.plant.wool.capacityG);
  pass(SETTLES_MS);
  grower.call('mark.set', { mark: 'soaked' });
}
