/** Soaked trays on mats of known strength, in rooms of known cold: what a model fitted to their journals is held against. */
import type { JournalEntry } from '../../../shared/journal/kinds';
import type { LidPlace, Profile } from '../../../shared/profile/profile';
import { DAY_MS } from '../../../shared/units/time';
import { Bench } from '../bench';
import { GrowerAt } from '../grower';
import { CALM_TICK_MS } from '../pace';
import { Random } from '../random';
import { trayOf } from '../tray-of';
import { planFor } from './matrix';
import { matUpW, type TrayMoment, watched } from './tray-truth';

const DAYS = 2.5;
const LIDS: readonly LidPlace[] = ['closed', 'vents-open', 'propped'];
/** Trays and mats of different makes: plastic, g; heat that a mat holds, J/m2K (common practice: 2 to 4 kg of silicone and wire). */
const MAKE = { trayG: [140, 220], capacityJM2K: [3_000, 5_000] } as const;

export interface WarmTray {
  readonly seed: number;
  readonly profile: Profile;
  readonly profileId: number;
  readonly journal: readonly JournalEntry[];
  /** What of the mat's heat reaches the tray, W. */
  readonly matW: number;
  readonly moments: readonly TrayMoment[];
}

/** Mat, room, band and lid by the seed; the same seed gives the same tray. */
export function runWarmTray(seed: number, days = DAYS): WarmTray {
  const draw = new Random(seed ^ 0x3a11);
  const make = new Random(seed ^ 0x6a8e);
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
    trayG: make.between(...MAKE.trayG),
    mat: { fluxWM2, capacityJM2K: make.between(...MAKE.capacityJM2K) },
    room: {
      meanC: lowC - draw.between(3, 7),
      swingK: draw.between(1, 3),
      weatherK: draw.between(0.2, 0.8),
    },
  });
  const grower = new GrowerAt(bench);
  grower.call('clock.set', { unixMs: bench.unixMs });
  grower.commission(profile);
  const moments = watched(bench, days * DAY_MS);
  return {
    ...{ seed, profile, profileId: grower.status().profile?.id ?? 0 },
    ...{ journal: grower.journal(), moments, matW: matUpW(fluxWM2) },
  };
}
