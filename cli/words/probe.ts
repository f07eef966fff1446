/** Words for the probes. */
import { type OfProbes, type ProbeFields, probeFields } from '../../shared/board/probes';

interface ProbeWords {
  /** What it measures, inside a sentence. */
  readonly place: string;
  /** The probe itself, inside a sentence. */
  readonly probe: string;
  /** What it measures, where a line has little room. */
  readonly short: string;
}

export const PROBE_WORDS: OfProbes<ProbeWords> = {
  rootZone: { place: 'root zone', probe: 'root-zone probe', short: 'roots' },
  mat: { place: 'mat', probe: 'mat probe', short: 'mat' },
};

/** The probe that a calibration in the journal is of, inside a sentence. */
export const CALIBRATED_PROBE: ProbeFields<'target', string> = probeFields(
  'target',
  (name) => PROBE_WORDS[name].probe,
);
