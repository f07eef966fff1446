/** What the senses say at one tick: all that control and guard may know of the tray. Written by `tick/senses.ts` alone. */
import type { ProbeState, ScaleState } from '../../shared/link/status';
import type { CodeWindow } from '../../shared/physics/probe-curve';
import type { MatLook } from './mat-line';

export interface ProbeReading {
  /** Smoothed, with the calibration offset, degrees Celsius; NaN while not usable. */
  readonly celsius: number;
  readonly state: ProbeState;
  /** Raw code, 0..4095. */
  readonly code: number;
  /** Beyond which it is open or short. */
  readonly window: CodeWindow;
  /** From the first bad reading on, before it counts as a fault. */
  readonly doubtful: boolean;
  /** Calibration, K, added to every reading. */
  readonly addedK: number;
}

export interface ScaleReading {
  readonly state: ScaleState;
  /** Newest raw code; NaN before the first. */
  readonly code: number;
  /** Weight on the scale, g; NaN while it cannot be told. */
  readonly grams: number;
  /** Standard deviation of single codes, g. */
  readonly noiseG: number;
  readonly calibrated: boolean;
}

/** Of the probes that policy goes by, and of all else. */
export interface Readings {
  readonly uptimeMs: number;
  readonly rootZone: ProbeReading;
  readonly mat: ProbeReading;
  readonly scale: ScaleReading;
  /** A look at the mat's line that was made since the last tick. */
  readonly matLook: MatLook | null;
  /** Bits of `OUTPUT`. */
  readonly outputs: number;
  /** A hand is on the tray, or was within the last quiet time. */
  readonly handled: boolean;
  /** The tray stands somewhere else: what the probes say is not its root zone. */
  readonly away: boolean;
  /** Weight without handling's share, g; NaN while unknown. */
  readonly trayG: number;
  /** 0 at container capacity, 1 when dry; NaN while unknown. */
  readonly dryBackShare: number;
}
