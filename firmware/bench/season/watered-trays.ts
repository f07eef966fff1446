/** Trays that dry fast and are watered often, by pumps whose tubes wear out in days: what a model of water is held against. */
import type { JournalEntry } from '../../../shared/journal/kinds';
import type { LidPlace, Profile } from '../../../shared/profile/profile';
import { DAY_MS } from '../../../shared/units/time';
import { Bench } from '../bench';
import { GrowerAt } from '../grower';
import { CALM_TICK_MS } from '../pace';
import { Random } from '../random';
import { trayOf } from '../tray-of';
import { planFor } from './matrix';
import { type TrayMoment, watched } from './tray-truth';

const DAYS = 3;
const LIDS: readonly LidPlace[] = ['off', 'off-by-day', 'propped'];

export interface WateredTray {
  readonly seed: number;
  readonly profile: Profile;
  readonly profileId: number;
  readonly journal: readonly JournalEntry[];
  readonly moments: readonly TrayMoment[];
  /** What the pump gives at the end, ml/s. */
  readonly mlPerS: number;
}

/** Lid, room and tube by the seed; the same seed gives the same tray. */
export function runWateredTray(seed: number, days = DAYS): WateredTray {
  const draw = new Random(seed ^ 0x77e1);
  const lid = LIDS[seed % LIDS.length] ?? 'off';
  const shipped = planFor('pepper', 0, seed, 'daily').profile;
  const stage = shipped.stages.find(({ watering }) => watering !== null);
  if (stage?.watering == null) throw new Error('a profile that never waters');
  const watering = { ...stage.watering, startShare: 0.06, stopShare: 0.02 };
  const only = {
    ...{ ...stage, lid, watering, opening: null, end: { afterS: 0, mark: null } },
    rescue: { ...stage.rescue, share: 0.4 },
  };
  const profile = { ...shipped, stages: [only] };
  const tray = trayOf(profile);
  const bench = new Bench({
    ...{ seed, crop: 'pepper', ...tray, rethrow: true, calmTickMs: CALM_TICK_MS },
    pump: {
      ...tray.pump,
      mlPerS: draw.between(0.6, 1.6),
      wearShare: draw.between(0, 0.2),
      wearHours: draw.between(0.05, 0.4),
    },
    room: {
      meanC: draw.between(16, 24),
      swingK: draw.between(1, 3),
      humidityShare: draw.between(0.4, 0.7),
      weatherK: draw.between(0.2, 0.8),
    },
  });
  const grower = new GrowerAt(bench);
  grower.call('clock.set', { unixMs: bench.unixMs });
  grower.commission(profile);
  bench.hand.refill();
  grower.call('mark.set', {
    mark: 'refilled',
    volumeMl: profile.reservoirMl,
    feedEc: stage.feedEc,
  });
  const moments = watched(bench, days * DAY_MS);
  return {
    ...{ seed, profile, profileId: grower.status().profile?.id ?? 0 },
    ...{ journal: grower.journal(), moments },
    mlPerS: bench.rig.plant.pump.mlPerS,
  };
}
