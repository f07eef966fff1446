/** Soaked trays on mats of known strength, in rooms of known cold: what a model fitted to their journals is held against. */
import type { JournalEntry } from '../../../shared/journal/kinds';
import type { LidPlace, Profile } from '../../../shared/profile/profile';
import { Bench, CALM_TICK_MS } from '../bench';
import { GrowerAt } from '../grower';
import { LID_EFFECTS, topLossWM2K } from '../plant/lid';
import { MAT } from '../plant/thermal';
import { Random } from '../random';
import { trayOf } from '../tray-of';
import { planFor } from './matrix';

const DAY_MS = 86_400_000;
const DAYS = 2.5;
const LIDS: readonly LidPlace[] = ['closed', 'vents-open', 'propped'];

/** What the bench knows, and a journal does not say. */
export interface WarmTruth {
  /** What of the mat's heat reaches the tray, W, and what tray and mat lose, W/K. */
  readonly matW: number;
  readonly lossWK: number;
}

export interface WarmTray {
  readonly seed: number;
  readonly profile: Profile;
  readonly profileId: number;
  readonly journal: readonly JournalEntry[];
  readonly truth: WarmTruth;
}

/** Mat, room, band and lid by the seed; the same seed gives the same tray. */
export function runWarmTray(seed: number, days = DAYS): WarmTray {
  const draw = new Random(seed ^ 0x3a11);
  const fluxWM2 = draw.between(80, 160);
  const lid = LIDS[seed % LIDS.length] ?? 'closed';
  const lowC = draw.between(20, 25);
  const shipped = planFor('pepper', 0, seed, 'daily').profile;
  const [first, ...others] = shipped.stages;
  if (first === undefined) throw new Error('a profile without stages');
  const band = { lowC, highC: lowC + draw.between(1, 2) };
  const profile = { ...shipped, stages: [{ ...first, lid, band }, ...others] };
  const bench = new Bench({
    seed,
    crop: 'pepper',
    ...trayOf(profile),
    rethrow: true,
    calmTickMs: CALM_TICK_MS,
    mat: { fluxWM2 },
    room: {
      meanC: lowC - draw.between(3, 7),
      swingK: draw.between(1, 3),
      weatherK: draw.between(0.2, 0.8),
    },
  });
  const grower = new GrowerAt(bench);
  grower.call('clock.set', { unixMs: bench.unixMs });
  grower.commission(profile);
  bench.run(days * DAY_MS);
  const { areaM2, contactWM2K, undersideWM2K } = MAT;
  // Of what leaves the mat, so much goes up.
  const upShare = contactWM2K / (contactWM2K + undersideWM2K);
  return {
    seed,
    profile,
    profileId: grower.status().profile?.id ?? 0,
    journal: grower.journal(),
    truth: {
      matW: fluxWM2 * areaM2 * upShare,
      lossWK: (topLossWM2K(LID_EFFECTS[lid]) + undersideWM2K * upShare) * areaM2,
    },
  };
}
