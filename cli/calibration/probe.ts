/** Probe calibration: the offset that makes a probe agree with melting ice or a good thermometer. Pure. */
import { PROBE_CALIBRATION_LIMITS as LIMITS } from './limits';
import type { Refusal } from './scale';

export interface ProbeFindings {
  /** Mean reading without any offset, degrees Celsius. */
  readonly readC: number;
  readonly referenceC: number;
  /** To be added to the reading, K. */
  readonly offsetK: number;
  /** Largest minus smallest reading, K. */
  readonly spreadK: number;
}

export type ProbeAssessment = { readonly ok: true; readonly findings: ProbeFindings } | Refusal;

/** Judges readings (degrees Celsius, no offset applied) taken while the probe was at `referenceC`. */
export function assessProbe(readings: readonly number[], referenceC: number): ProbeAssessment {
  if (!(referenceC >= LIMITS.referenceMinC && referenceC <= LIMITS.referenceMaxC)) {
    return {
      ok: false,
      reason: 'reference-out-of-range',
      why: `A reference of ${referenceC} °C is none for a root zone.`,
      next: `Use one from ${LIMITS.referenceMinC} °C to ${LIMITS.referenceMaxC} °C; best is one near the band.`,
    };
  }
  const readC = readings.reduce((sum, value) => sum + value, 0) / readings.length;
  const spreadK = Math.max(...readings) - Math.min(...readings);
  if (!Number.isFinite(readC)) {
    return {
      ok: false,
      reason: 'probe-failed',
      why: 'The probe gives no temperature: it is open or short.',
      next: 'Check its plug and cable (`trayward probe check`), then start again.',
    };
  }
  if (spreadK > LIMITS.spreadK) {
    return {
      ok: false,
      reason: 'probe-unsteady',
      why: `The readings spread over ${spreadK.toFixed(2)} K; at most ${LIMITS.spreadK} K is steady.`,
      next: 'Stir, wait two minutes until the probe has the temperature of the bath, then start again.',
    };
  }
  const offsetK = referenceC - readC;
  if (Math.abs(offsetK) > LIMITS.offsetMaxK) {
    return {
      ok: false,
      reason: 'offset-too-large',
      why: `The probe reads ${readC.toFixed(2)} °C where ${referenceC.toFixed(2)} °C is said to be: ${Math.abs(offsetK).toFixed(2)} K apart, more than a sound probe is ever off (${LIMITS.offsetMaxK} K).`,
      next: 'Check the reference and that the probe is in the same place. If both are right, replace the probe.',
    };
  }
  return { ok: true, findings: { readC, referenceC, offsetK, spreadK } };
}
