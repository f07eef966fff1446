/** One alarm: where it stands after IEC 62682 / ISA-18.2, since when, and why. */
import {
  ALARMS,
  type AlarmName,
  type AlarmSpec,
  type AlarmState,
} from '../../shared/alarms/catalogue';

/**
 * Whether the board was off since an alarm was raised, and for how long: not at all; before this start, which a clock
 * may still tell, or has told; or nobody will ever know.
 */
export type UntoldOutage = 'none' | 'before-start' | 'told' | 'for-good';

/** Its times are at least so long ago. */
export const isUntold = (outage: UntoldOutage): boolean =>
  outage === 'before-start' || outage === 'for-good';

/** An alarm whose condition holds: whether a person has accepted it. */
type Raised = Extract<AlarmState, 'unaccepted' | 'accepted'>;

/** What an alarm is again if it is found until so much uptime, ms: the one from before the restart, and no news. */
interface Recall {
  readonly untilMs: number;
  readonly as: Raised;
}

/** One alarm as it stands now. Written by its bank alone. */
export class Alarm {
  readonly spec: AlarmSpec;
  state: AlarmState = 'normal';
  /** Uptime until which the alarm is shelved, ms; 0 when not. */
  shelvedUntilMs = 0;
  /** Uptime at which it was raised, ms; below 0 when that was before this start. */
  raisedMs = 0;
  /** Uptime at which its condition ended, ms; NaN while it holds, and when nobody knows. */
  endedMs = Number.NaN;
  untold: UntoldOutage = 'none';
  /** It was over at a restart, as far as is known; null when it was not, or has been found again. */
  recall: Recall | null = null;
  /** The value that decided and the limit it met; NaN when none. */
  value = Number.NaN;
  limit = Number.NaN;

  constructor(readonly name: AlarmName) {
    this.spec = ALARMS[name];
  }

  /** The condition holds now. */
  get present(): boolean {
    return this.state === 'unaccepted' || this.state === 'accepted';
  }

  /** It was raised, and is not back to normal. */
  get standing(): boolean {
    return this.state !== 'normal';
  }

  /** It stands, and a person has accepted it. */
  get seen(): boolean {
    return this.state === 'accepted' || this.state === 'latched-accepted';
  }

  /** What it is again, found at `uptimeMs`; null when that is news, as of one that was over and has not latched. */
  againAs(uptimeMs: number): Raised | null {
    const { recall, endedMs } = this;
    if (!this.standing) return recall !== null && uptimeMs < recall.untilMs ? recall.as : null;
    if (!this.spec.latched && !Number.isNaN(endedMs)) return null;
    return this.seen ? 'accepted' : 'unaccepted';
  }

  /** What it is once its condition has gone: one that latches stays for a person, any other for one who saw it. */
  get gone(): AlarmState {
    if (this.spec.latched) return this.seen ? 'latched-accepted' : 'latched-unaccepted';
    return this.seen ? 'normal' : 'returned';
  }

  /** What it is once a person has accepted it. */
  get acceptedNow(): AlarmState {
    if (this.present) return 'accepted';
    return this.spec.latched ? 'latched-accepted' : 'normal';
  }
}

/** As everybody but the bank sees it. */
export type AlarmRecord = Readonly<Alarm>;
