/** Where each probe is on the bench: what it measures there, and the bead it measures it with. */
import type { OfProbes } from '../../../shared/board/probes';
import type { Room } from './room';
import type { ThermalMasses } from './thermal';
import type { ThermistorParameters } from './thermistor';

interface ProbePlace {
  /** What is really so in its place, degrees Celsius. */
  readonly trueC: (plant: { readonly room: Room; readonly thermal: ThermalMasses }) => number;
  /** The bead in its place, without the offset of the very part. */
  readonly bead: Omit<ThermistorParameters, 'offsetK'>;
  /** Parts of one make read up to so much too warm or too cold, K. */
  readonly spreadK: number;
}

/** In the order of `PROBES`, in which the seed deals the offsets. */
export const PROBE_PLACES: OfProbes<ProbePlace> = {
  rootZone: {
    trueC: ({ thermal }) => thermal.rootZoneC,
    bead: { lagS: 20, dissipationMwK: 8 },
    spreadK: 0.2,
  },
  mat: {
    trueC: ({ thermal }) => thermal.matC,
    bead: { lagS: 15, dissipationMwK: 6 },
    spreadK: 0.3,
  },
};
