/** Where each probe stands on the drawings, mm. */
import type { OfProbes } from '../../shared/board/probes';

interface ProbeSpots {
  /** Middle of its column on the sheet of the probes. */
  readonly columnX: number;
  /** Its pin on the sheet of the controller board. */
  readonly pinY: number;
}

export const PROBE_SPOTS: OfProbes<ProbeSpots> = {
  rootZone: { columnX: 60, pinY: 140 },
  mat: { columnX: 195, pinY: 150 },
};
