/** Probe calibration: the offset that makes a probe agree with melting ice or a good thermometer. Pure. */
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { PROBE_CALIBRATION_LIMITS as LIMITS } from './limits';
import { type Assessment, type Refusal, refusal } from './refusal';
import { differenceText } from './words';

export interface ProbeFindings {
  /** Mean reading without any offset, degrees Celsius. */
  readonly readC: number;
  readonly referenceC: number;
  /** To be added to the reading, K. */
  readonly offsetK: number;
  /** Largest minus smallest reading, K. */
  readonly spreadK: number;
}

export type ProbeAssessment = Assessment<ProbeFindings>;

/** Refuses a reference that no root zone has, before anything is read; null when it is one. */
export function checkReference(referenceC: number, units: UnitSystem): Refusal | null {
  if (referenceC >= LIMITS.referenceMinC && referenceC <= LIMITS.referenceMaxC) return null;
  const degrees = (celsius: number): string => formatQuantity('temperature', celsius, units);
  return refusal(
    'reference-out-of-range',
    `A reference of ${degrees(referenceC)} is none for a root zone.`,
    `Use one from ${degrees(LIMITS.referenceMinC)} to ${degrees(LIMITS.referenceMaxC)}; best is one near the band.`,
  );
}

/** Judges readings (degrees Celsius, no offset applied) taken while the probe was at `referenceC`. */
export function assessProbe(
  readings: readonly number[],
  referenceC: number,
  units: UnitSystem,
): ProbeAssessment {
  const degrees = (celsius: number): string => formatQuantity('temperature', celsius, units);
  const wrong = checkReference(referenceC, units);
  if (wrong !== null) return wrong;
  const readC = readings.reduce((sum, value) => sum + value, 0) / readings.length;
  const spreadK = Math.max(...readings) - Math.min(...readings);
  if (!Number.isFinite(readC)) {
    return refusal(
      'probe-failed',
      'The probe gives no temperature: it is open or short.',
      'Check its plug and cable (`trayward probe check`), then start again.',
    );
  }
  if (spreadK > LIMITS.spreadK) {
    return refusal(
      'probe-unsteady',
      `The readings spread over ${differenceText(spreadK, units)}; at most ${differenceText(LIMITS.spreadK, units)} is steady.`,
      'Stir, wait two minutes until the probe has the temperature of the bath, then start again.',
    );
  }
  const offsetK = referenceC - readC;
  if (Math.abs(offsetK) > LIMITS.offsetMaxK) {
    return refusal(
      'offset-too-large',
      `The probe reads ${degrees(readC)} where ${degrees(referenceC)} is said to be: ${differenceText(Math.abs(offsetK), units)} apart, more than a sound probe is ever off (${differenceText(LIMITS.offsetMaxK, units)}).`,
      'Check the reference and that the probe is in the same place. If both are right, it is another NTC than the controller reckons with, which `trayward probe curve` tells it, or broken.',
    );
  }
  return { ok: true, findings: { readC, referenceC, offsetK, spreadK } };
}
