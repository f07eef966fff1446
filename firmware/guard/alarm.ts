/** One alarm: where it stands after IEC 62682 / ISA-18.2, since when, and why. */
import {
  ALARMS,
  type AlarmName,
  type AlarmSpec,
  type AlarmState,
} from '../../shared/alarms/catalogue';

/**
 * Whether the board was off since an alarm was raised without it being known for how long: not at all; before this start,
 * which a clock may still tell; or for good.
 */
export type UntoldOutage = 'none' | 'before-start' | 'for-good';

/** One alarm as it stands now. Written by its bank alone. */
export class Alarm {
  readonly spec: AlarmSpec;
  /** The condition holds now. */
  present = false;
  /** It was raised, and is not back to normal. */
  standing = false;
  /** A person has accepted it. */
  seen = false;
  /** Uptime until which the alarm is shelved, ms; 0 when not. */
  shelvedUntilMs = 0;
  /** Uptime at which it was raised, ms; below 0 when that was before this start. */
  raisedMs = 0;
  /** Uptime at which its condition ended, ms; NaN while it holds, and when nobody knows. */
  endedMs = Number.NaN;
  untold: UntoldOutage = 'none';
  /** Found again until this uptime, it is the one that was accepted before the restart, ms. */
  recallUntilMs = Number.NEGATIVE_INFINITY;
  /** The value that decided and the limit it met; NaN when none. */
  value = Number.NaN;
  limit = Number.NaN;

  constructor(readonly name: AlarmName) {
    this.spec = ALARMS[name];
  }

  get state(): AlarmState {
    if (!this.standing) return 'normal';
    if (this.present) return this.seen ? 'accepted' : 'unaccepted';
    if (!this.spec.latched) return 'returned';
    return this.seen ? 'latched-accepted' : 'latched-unaccepted';
  }
}

/** As everybody but the bank sees it. */
export type AlarmRecord = Readonly<Alarm>;
