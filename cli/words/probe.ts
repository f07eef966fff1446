/** Words for the probes. */
import { type OfProbes, type ProbeFields, probeFields } from '../../shared/board/probes';
import type { CurveInForce } from '../../shared/link/methods';
import { bOfProbe, type ProbeCurve } from '../../shared/physics/probe-curve';
import { formatQuantity } from '../../shared/units';

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

/** An NTC as its maker names it: `10 kΩ at 25 °C, B25/85 3435 K`; no B where an entry of a journal has none. */
export function ntcText(curve: ProbeCurve): string {
  const ohm = formatQuantity('resistance', curve.at25Ohm, 'metric');
  const b = bOfProbe(curve);
  return `${ohm} at 25 °C${Number.isFinite(b) ? `, B25/85 ${Math.round(b)} K` : ''}`;
}

/** By which curve a probe is read, inside a sentence. */
export function curveText(curve: CurveInForce): string {
  if (curve === 'reference') return 'the reference probe';
  return curve === 'lost' ? 'a curve that was lost' : `an NTC of ${ntcText(curve)}`;
}
