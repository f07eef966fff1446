/**
 * What the journal can say: every kind of entry as a typed record. `codec.ts` packs one into
 * 32 bytes. Numbers carry their unit; NaN stands for "no value" and survives the codec.
 */

import type { AlarmChange, AlarmName } from '../alarms/catalogue';
import type { CalibrationTarget } from '../board/calibration-targets';
import type { ProbeFields, ProbeName } from '../board/probes';
import type { ProbeCurve } from '../physics/probe-curve';
import type { Mark } from '../profile/profile';

/** Stage of an entry, and of the checkpoint, while none runs. */
export const NO_STAGE = 255;

/** Fields every entry has. */
export interface EntryHead {
  /** Counts up by one for ever, from 1; never reused. */
  readonly sequence: number;
  /** Boot number, from 1. */
  readonly boot: number;
  /** Uptime of that boot, ms, resolution 100 ms. */
  readonly uptimeMs: number;
}

/** Reasons a stage changed. Append only. */
export const STAGE_REASONS = [
  'run-time',
  'mark',
  'grower',
  'profile-loaded',
  'outage',
  'clock',
] as const;
export type StageReason = (typeof STAGE_REASONS)[number];

/** How a dose ended. Append only. */
export const DOSE_VERDICTS = [
  'seen',
  'not-seen',
  'too-large',
  'handled',
  'stopped',
  'cut',
  'unproved',
] as const;
export type DoseVerdict = (typeof DOSE_VERDICTS)[number];

/** Why a dose was given. Append only. */
export const DOSE_REASONS = ['dry-back', 'rescue', 'prime', 'calibrate', 'opening'] as const;
export type DoseReason = (typeof DOSE_REASONS)[number];

/** What became of a profile that was sent. Append only. */
export const PROFILE_ACTIONS = ['loaded', 'refused'] as const;
export type ProfileAction = (typeof PROFILE_ACTIONS)[number];

interface ScaleCalibrated {
  readonly zeroCode: number;
  readonly countsPerG: number;
  /** Standard uncertainty at the working weight, g. */
  readonly uncertaintyG: number;
}

interface ProbeCalibrated {
  /** Added to the reading, K. */
  readonly offsetK: number;
}

interface PumpCalibrated {
  readonly mlPerS: number;
  /** Scatter of the runs. */
  readonly cvPercent: number;
  /** Of the calibration before; NaN for the first one. */
  readonly previousMlPerS: number;
}

/** What came out of a calibration, by what was calibrated. */
export interface CalibratedFields extends ProbeFields<'target', ProbeCalibrated> {
  readonly scale: ScaleCalibrated;
  readonly 'scale-zero': ScaleCalibrated;
  readonly pump: PumpCalibrated;
}

type Calibrated = {
  [Target in CalibrationTarget]: { readonly target: Target } & CalibratedFields[Target];
}[CalibrationTarget];

/** Every 5 min; `trace` is the same, denser, around an alarm. */
interface Reading extends ProbeFields<'celsius', number> {
  readonly trayG: number;
  /** 0..1, NaN when unknown. */
  readonly dryBackShare: number;
  /** Share of the time since the last reading that the mat was on, 0..1. */
  readonly matDutyShare: number;
  /** Bits of `OUTPUT` in `shared/board/words.ts`. */
  readonly outputs: number;
  readonly stage: number;
  /** Spread of the scale, g. */
  readonly spreadG: number;
}

export type JournalBody =
  | {
      readonly kind: 'boot';
      /** Index into `RESET_CAUSES` of `shared/board/words.ts`. */
      readonly cause: number;
      readonly detail: number;
      /** Firmware version, major * 10000 + minor * 100 + patch. */
      readonly firmware: number;
      /** Short identifier of the active profile, 0 when none. */
      readonly profileId: number;
      /** Restarts by fault within the last hour of run time. */
      readonly faultRestarts: number;
    }
  | {
      readonly kind: 'clock';
      /** Time of day at this entry, Unix ms. Dates every entry of its boot. */
      readonly unixMs: number;
      /** Outage added to the run time of the stage because of it, s. */
      readonly outageS: number;
    }
  | ({ readonly kind: 'reading' } & Reading)
  | ({ readonly kind: 'trace' } & Reading)
  | {
      readonly kind: 'stage';
      /** Stage index before and after, or `NO_STAGE`. */
      readonly from: number;
      readonly to: number;
      readonly reason: StageReason;
      /** Run time of the stage that ended, s. */
      readonly ranS: number;
      /** Water given in the stage that ended, ml. */
      readonly waterMl: number;
    }
  | {
      readonly kind: 'mark';
      readonly mark: Mark;
      readonly stage: number;
      /** Weight at the mark, g; NaN when the scale could not say. */
      readonly trayG: number;
      readonly rootZoneC: number;
      /** Of `moved`: how many stay on the scale; 0 when nobody said so. */
      readonly pieces: number;
    }
  | {
      readonly kind: 'dose';
      readonly reason: DoseReason;
      readonly verdict: DoseVerdict;
      readonly stage: number;
      readonly plannedMl: number;
      readonly ranMs: number;
      readonly beforeG: number;
      readonly gainedG: number;
    }
  | {
      readonly kind: 'alarm';
      readonly alarm: AlarmName;
      readonly change: AlarmChange;
      readonly stage: number;
      /** The value that decided, and the limit it met; unit by alarm. NaN when none. */
      readonly value: number;
      readonly limit: number;
      /** For `shelved`: how long, s. */
      readonly forS: number;
    }
  | {
      /** The grower filled the reservoir. */
      readonly kind: 'refill';
      readonly volumeMl: number;
      /** At 25 C, mS/cm; NaN when nobody measured it. */
      readonly feedEc: number;
    }
  | {
      /** A weight jump that no dose explains: begun, or over (quiet again). */
      readonly kind: 'handling';
      readonly over: boolean;
      readonly beforeG: number;
      readonly afterG: number;
    }
  | {
      readonly kind: 'capacity';
      readonly capacityG: number;
      readonly dryG: number;
      /** Whether `dryG` was weighed (mark `dry`) or reckoned from the medium. */
      readonly dryWeighed: boolean;
    }
  | ({
      readonly kind: 'calibration';
      /** An older one was put in use again. */
      readonly restored: boolean;
    } & Calibrated)
  | {
      readonly kind: 'profile';
      readonly action: ProfileAction;
      readonly slot: number;
      readonly profileId: number;
      /** Stage that ran before and runs after, or `NO_STAGE`. */
      readonly stageBefore: number;
      readonly stageAfter: number;
    }
  | {
      /** Something a programmer needs: code plus data. */
      readonly kind: 'fault';
      /** One of `FAULT` in `shared/board/words.ts`. */
      readonly code: number;
      readonly detail: number;
    }
  | ({
      /** Which NTC a probe is was told, in force from the next start on; NaN: the reference one again. */
      readonly kind: 'curve';
      readonly probe: ProbeName;
    } & ProbeCurve)
  | {
      /** The grower counted: so many stood, of so many sown. */
      readonly kind: 'count';
      readonly stage: number;
      readonly standing: number;
      readonly of: number;
    }
  | {
      /** The board was told to show its boot drive: outputs off, and no firmware until it has an image. */
      readonly kind: 'boot-drive';
    }
  | {
      /** A piece of what the grower noted; see `notes.ts`. */
      readonly kind: 'note';
      /** Pieces that follow. */
      readonly more: number;
      readonly text: string;
    };

export type JournalKind = JournalBody['kind'];
export type JournalEntry = EntryHead & JournalBody;
