/**
 * The state of every alarm, after IEC 62682 / ISA-18.2: present or gone, accepted or not, latched,
 * shelved for a limited time. Says what the alarms hold off. No I/O; changes are told to `onChange`.
 */
import {
  ALARM_NAMES,
  ALARM_STATES,
  ALARMS,
  type AlarmChange,
  type AlarmName,
  type AlarmSpec,
  type AlarmState,
} from '../../shared/alarms/catalogue';

export interface AlarmRecord {
  readonly name: AlarmName;
  readonly spec: AlarmSpec;
  state: AlarmState;
  /** The condition holds now. */
  present: boolean;
  /** Uptime until which the alarm is shelved, ms; 0 when not. */
  shelvedUntilMs: number;
  raisedMs: number;
  /** The value that decided and the limit it met; NaN when none. */
  value: number;
  limit: number;
}

export type AlarmListener = (record: AlarmRecord, change: AlarmChange, forS: number) => void;

export class AlarmBank {
  readonly records: readonly AlarmRecord[] = ALARM_NAMES.map((name) => ({
    name,
    spec: ALARMS[name],
    state: 'normal',
    present: false,
    shelvedUntilMs: 0,
    raisedMs: 0,
    value: Number.NaN,
    limit: Number.NaN,
  }));
  /** Name of an alarm that holds the mat off, or null. */
  matHeldBy: AlarmName | null = null;
  /** Name of an alarm that holds the pump off, or null. */
  pumpHeldBy: AlarmName | null = null;
  /** An alarm nobody has accepted yet, and whether one of them sounds. Shelved ones stay quiet. */
  unaccepted = false;
  sounding = false;
  /** Some alarm is not normal. */
  any = false;

  readonly #byName = new Map<AlarmName, AlarmRecord>();
  #shelved = false;

  constructor(readonly onChange: AlarmListener) {
    for (const record of this.records) this.#byName.set(record.name, record);
  }

  record(name: AlarmName): AlarmRecord {
    const record = this.#byName.get(name);
    if (record === undefined) throw new RangeError(`no alarm ${name}`);
    return record;
  }

  /** Tells whether a condition holds now. `value` met `limit`. Does nothing while that is known. */
  set(record: AlarmRecord, present: boolean, uptimeMs: number, value: number, limit: number): void {
    if (record.present === present) return;
    record.present = present;
    if (present) {
      record.value = value;
      record.limit = limit;
      const known = record.state === 'latched-accepted';
      if (record.state === 'normal') record.raisedMs = uptimeMs;
      // A condition that comes back after being accepted and gone is news again, unless it latched.
      record.state = known ? 'accepted' : 'unaccepted';
      this.onChange(record, 'raised', 0);
    } else {
      record.state = afterReturn(record.state, record.spec.latched);
      this.onChange(record, 'returned', 0);
    }
    this.#summarise();
  }

  /** Raises a latched alarm whose condition is a single happening (a dose not seen), once. */
  strike(record: AlarmRecord, uptimeMs: number, value: number, limit: number): void {
    if (record.state !== 'normal') return;
    this.set(record, true, uptimeMs, value, limit);
    record.present = false;
    record.state = 'latched-unaccepted';
  }

  /** A person has seen it. */
  accept(name: AlarmName): AlarmRecord {
    const record = this.record(name);
    const next = afterAccept(record.state);
    if (next !== record.state) {
      record.state = next;
      this.onChange(record, 'accepted', 0);
      this.#summarise();
    }
    return record;
  }

  /**
   * Takes a latched alarm back. Only when its condition has gone; returns false otherwise.
   */
  clear(name: AlarmName): boolean {
    const record = this.record(name);
    if (record.present) return false;
    if (record.state !== 'normal') {
      record.state = 'normal';
      record.shelvedUntilMs = 0;
      this.onChange(record, 'cleared', 0);
      this.#summarise();
    }
    return true;
  }

  /** Keeps it from sounding and from asking for a person until `untilMs`; what it holds stays held. */
  shelve(name: AlarmName, uptimeMs: number, untilMs: number): AlarmRecord {
    const record = this.record(name);
    record.shelvedUntilMs = untilMs;
    this.onChange(record, 'shelved', Math.round((untilMs - uptimeMs) / 1000));
    this.#summarise();
    return record;
  }

  /** Ends shelving whose time is over. Cheap: call at each tick. */
  expireShelving(uptimeMs: number): void {
    if (!this.#shelved) return;
    for (const record of this.records) {
      if (record.shelvedUntilMs === 0 || uptimeMs < record.shelvedUntilMs) continue;
      record.shelvedUntilMs = 0;
      this.onChange(record, 'unshelved', 0);
    }
    this.#summarise();
  }

  /** States after a restart: what was present is judged anew, what was latched stays. */
  restore(stateCodes: Uint8Array): void {
    this.records.forEach((record, i) => {
      const state = ALARM_STATES[stateCodes[i] ?? 0] ?? 'normal';
      record.state = afterReturn(state, record.spec.latched);
      if (record.state === 'returned' || !record.spec.latched) record.state = 'normal';
    });
    this.#summarise();
  }

  /** One code for each alarm, for the checkpoint. */
  stateCodes(into: Uint8Array): void {
    this.records.forEach((record, i) => {
      into[i] = ALARM_STATES.indexOf(record.state);
    });
  }

  #summarise(): void {
    this.matHeldBy = null;
    this.pumpHeldBy = null;
    this.unaccepted = false;
    this.sounding = false;
    this.any = false;
    this.#shelved = false;
    for (const record of this.records) {
      if (record.shelvedUntilMs !== 0) this.#shelved = true;
      if (record.state === 'normal') continue;
      this.any = true;
      const holds = record.present || record.spec.latched;
      if (holds && record.spec.dropsMat) this.matHeldBy ??= record.name;
      if (holds && record.spec.dropsPump) this.pumpHeldBy ??= record.name;
      if (record.shelvedUntilMs !== 0) continue;
      if (record.state === 'accepted' || record.state === 'latched-accepted') continue;
      this.unaccepted = true;
      if (record.spec.sounds) this.sounding = true;
    }
  }
}

function afterReturn(state: AlarmState, latched: boolean): AlarmState {
  if (state === 'unaccepted') return latched ? 'latched-unaccepted' : 'returned';
  if (state === 'accepted') return latched ? 'latched-accepted' : 'normal';
  return state;
}

function afterAccept(state: AlarmState): AlarmState {
  if (state === 'unaccepted') return 'accepted';
  if (state === 'latched-unaccepted') return 'latched-accepted';
  return state === 'returned' ? 'normal' : state;
}
