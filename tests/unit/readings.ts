/** What the senses say of a tray in good order; change what a test is about. */
import type { Readings } from '../../firmware/sensing/readings';
import { LIMITER } from '../../shared/board/map';
import { ofProbes } from '../../shared/board/probes';
import { HOUR_MS } from '../../shared/units/time';

/** 4 kg of water in a tray of 600 g: a share of 0.1 is 400 g. */
export const WEIGHTS = { capacityG: 4_600, dryG: 600 } as const;

const SOUND_PROBE = {
  celsius: 26.5,
  state: 'ok',
  code: 2_000,
  window: LIMITER,
  doubtful: false,
  addedK: 0,
} as const;

/** Warm, weighed, calibrated, nobody near: nothing to find. */
export const CALM: Readings = {
  uptimeMs: HOUR_MS,
  ...ofProbes(() => SOUND_PROBE),
  scale: { state: 'ok', code: 1_000_000, grams: 4_400, noiseG: 0.2, calibrated: true },
  outputs: 0,
  matLook: null,
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
    // Only what is changed is made anew: tests ask for hundreds of thousands of minutes.
    rootZone: rootZone === undefined ? CALM.rootZone : { ...CALM.rootZone, ...rootZone },
    mat: mat === undefined ? CALM.mat : { ...CALM.mat, ...mat },
    scale: scale === undefined ? CALM.scale : { ...CALM.scale, ...scale },
  };
}
