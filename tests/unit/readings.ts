/** What the senses say of a tray in good order, and stages and profiles to judge it by; change what a test is about. */
import type { Readings } from '../../firmware/sensing/readings';
import { ofProbes } from '../../shared/board/probes';
import type { Profile, Stage, Watering } from '../../shared/profile/profile';

export const MINUTE_MS = 60_000;
export const HOUR_MS = 60 * MINUTE_MS;
export const DAY_MS = 24 * HOUR_MS;

/** 4 kg of water in a tray of 600 g: a share of 0.1 is 400 g. */
export const WEIGHTS = { capacityG: 4_600, dryG: 600 } as const;

export const WATERING: Watering = {
  startShare: 0.1,
  stopShare: 0.05,
  doseMl: 40,
  soakInS: 300,
  maxDayMl: 400,
  maxStageMl: 1_000,
};

export const HOLD: Stage = {
  name: 'germinate',
  kind: 'hold',
  band: { lowC: 26, highC: 27 },
  nightBand: null,
  watering: null,
  opening: null,
  rescue: { share: 0.4, doseMl: 25 },
  end: { afterS: 6 * 86_400, mark: 'emerged' },
  lid: 'closed',
  medium: 0,
  feedEc: 0,
};

export const WEIGH: Stage = {
  ...HOLD,
  name: 'first feed',
  kind: 'weigh',
  watering: WATERING,
  rescue: { share: 0.5, doseMl: 0 },
  end: { afterS: 0, mark: null },
  lid: 'propped',
};

export const PROFILE: Profile = {
  crop: 'pepper',
  title: 'Two stages',
  rootZoneMaxC: 34,
  reservoirMl: 5_000,
  spread: null,
  night: null,
  quiet: null,
  utcOffsetMin: 0,
  media: [{ name: 'plugs', pieces: 98, pieceMl: 51, bulkDensityKgM3: 70, capacityShare: 0.8 }],
  stages: [HOLD, WEIGH],
};

const SOUND_PROBE = {
  celsius: 26.5,
  state: 'ok',
  code: 2_000,
  doubtful: false,
  addedK: 0,
} as const;

/** Warm, weighed, calibrated, nobody near: nothing to find. */
export const CALM: Readings = {
  uptimeMs: HOUR_MS,
  ...ofProbes(() => SOUND_PROBE),
  scale: { state: 'ok', code: 1_000_000, grams: 4_400, noiseG: 0.2, calibrated: true },
  outputs: 0,
  handled: false,
  away: false,
  trayG: 4_400,
  dryBackShare: 0.05,
};

type Part = 'rootZone' | 'mat' | 'scale';
type Changes = Partial<Omit<Readings, Part>> & {
  readonly [P in Part]?: Partial<Readings[P]>;
};

/** The calm readings, changed as told. */
export function readings({ rootZone, mat, scale, ...rest }: Changes = {}): Readings {
  return {
    ...CALM,
    ...rest,
    rootZone: { ...CALM.rootZone, ...rootZone },
    mat: { ...CALM.mat, ...mat },
    scale: { ...CALM.scale, ...scale },
  };
}
