/** One alarm: where it stands after IEC 62682 / ISA-18.2, since when, and why. Pure: what changes it makes another of it. */
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

/** Its condition holds: nothing of it has ended. */
interface Present {
  readonly state: Raised;
}
/** Its condition has gone, and it waits for a person. `endedMs`: uptime then, ms; NaN when nobody knows. */
interface Gone {
  readonly state: Exclude<AlarmState, Raised | 'normal'>;
  readonly endedMs: number;
}
/** It does not stand. `recall`: it was over at a restart, as far as is known; null when it was not. */
interface Normal {
  readonly state: 'normal';
  readonly endedMs: number;
  readonly recall: Recall | null;
}
export type AlarmPhase = Present | Gone | Normal;

/** The last time it was raised. Told of one that is normal too, which may just have been cleared. */
export interface LastRaise {
  /** Uptime, ms; below 0 when that was before this start. */
  readonly raisedMs: number;
  readonly untold: UntoldOutage;
  /** The value that decided and the limit it met; NaN when none. */
  readonly value: number;
  readonly limit: number;
}

/** What a start knows of it: that it stood, that a person had seen it, or a code of another firmware. */
export type Remembered = 'standing' | 'seen' | 'unknown';

interface Parts {
  readonly phase: AlarmPhase;
  readonly last: LastRaise;
  /** Uptime until which the alarm is shelved, ms; 0 when not. That stands beside any state. */
  readonly shelvedUntilMs: number;
}

const NEVER_RAISED: Parts = {
  phase: { state: 'normal', endedMs: Number.NaN, recall: null },
  last: { raisedMs: 0, untold: 'none', value: Number.NaN, limit: Number.NaN },
  shelvedUntilMs: 0,
};

/** One alarm as it stands. */
export class Alarm {
  readonly spec: AlarmSpec;
  readonly phase: AlarmPhase;
  readonly last: LastRaise;
  readonly shelvedUntilMs: number;

  constructor(
    readonly name: AlarmName,
    { phase, last, shelvedUntilMs }: Parts = NEVER_RAISED,
  ) {
    this.spec = ALARMS[name];
    this.phase = phase;
    this.last = last;
    this.shelvedUntilMs = shelvedUntilMs;
  }

  get state(): AlarmState {
    return this.phase.state;
  }

  /** See `LastRaise`. */
  get raisedMs(): number {
    return this.last.raisedMs;
  }

  get value(): number {
    return this.last.value;
  }

  get limit(): number {
    return this.last.limit;
  }

  /** Uptime at which its condition ended, ms; NaN while it holds, and when nobody knows. */
  get endedMs(): number {
    return isPresent(this.phase) ? Number.NaN : this.phase.endedMs;
  }

  /** The condition holds now. */
  get present(): boolean {
    return isPresent(this.phase);
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
    const { phase, spec } = this;
    if (phase.state === 'normal') {
      const { recall } = phase;
      return recall !== null && uptimeMs < recall.untilMs ? recall.as : null;
    }
    if (!spec.latched && !isPresent(phase) && !Number.isNaN(phase.endedMs)) return null;
    return this.seen ? 'accepted' : 'unaccepted';
  }

  /** Its condition holds, since `uptimeMs` if that is news: `value` met `limit`. */
  found(uptimeMs: number, value: number, limit: number): Alarm {
    const again = this.againAs(uptimeMs);
    const { raisedMs, untold } =
      again === null ? { raisedMs: uptimeMs, untold: 'none' as const } : this.last;
    const last = { raisedMs, untold, value, limit };
    return this.#with({ phase: { state: again ?? 'unaccepted' }, last });
  }

  /** Its condition has gone: one that latches stays for a person, any other for one who saw it. */
  over(endedMs: number): Alarm {
    const { seen, spec } = this;
    if (spec.latched) {
      const state = seen ? 'latched-accepted' : 'latched-unaccepted';
      return this.#with({ phase: { state, endedMs } });
    }
    return this.#with({ phase: seen ? normal(endedMs) : { state: 'returned', endedMs } });
  }

  /** A person has accepted it, standing as it does. */
  accepted(): Alarm {
    const { phase, endedMs } = this;
    if (isPresent(phase)) return this.#with({ phase: { state: 'accepted' } });
    const latched = { state: 'latched-accepted', endedMs } as const;
    return this.#with({ phase: this.spec.latched ? latched : normal(endedMs) });
  }

  /** A person has taken it back, its condition gone. */
  cleared(): Alarm {
    return this.#with({ phase: normal(this.endedMs), shelvedUntilMs: 0 });
  }

  /** Shelved until so much uptime, ms; 0: no longer. */
  shelved(shelvedUntilMs: number): Alarm {
    return this.#with({ shelvedUntilMs });
  }

  /**
   * As it is after a restart, before anything is judged anew: what latched still holds; what did not, and was not
   * accepted, has returned as far as is known; any other is recalled until `recallMs` of uptime.
   */
  remembered(was: Remembered, last: LastRaise, endedMs: number, recallMs: number): Alarm {
    const seen = was === 'seen';
    if (this.spec.latched) {
      const state = seen ? 'latched-accepted' : 'latched-unaccepted';
      return this.#with({ last, phase: { state, endedMs } });
    }
    if (was === 'standing') return this.#with({ last, phase: { state: 'returned', endedMs } });
    const recall: Recall = { untilMs: recallMs, as: seen ? 'accepted' : 'unaccepted' };
    return this.#with({ last, phase: { state: 'normal', endedMs, recall } });
  }

  /** The board was off for so much longer before this start, ms, at `startedMs` of uptime: what was before it is older. */
  olderBy(byMs: number, startedMs: number): Alarm {
    const { phase, last } = this;
    const raised = { ...last, untold: 'told' as const, raisedMs: last.raisedMs - byMs };
    if (isPresent(phase) || !(phase.endedMs < startedMs)) return this.#with({ last: raised });
    return this.#with({ last: raised, phase: { ...phase, endedMs: phase.endedMs - byMs } });
  }

  #with(change: Partial<Parts>): Alarm {
    const { phase, last, shelvedUntilMs } = this;
    return new Alarm(this.name, { phase, last, shelvedUntilMs, ...change });
  }
}

function isPresent(phase: AlarmPhase): phase is Present {
  return phase.state === 'unaccepted' || phase.state === 'accepted';
}

const normal = (endedMs: number): Normal => ({ state: 'normal', endedMs, recall: null });
