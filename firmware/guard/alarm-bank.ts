/**
 * The state of every alarm, after IEC 62682 / ISA-18.2: present or gone, accepted or not, latched,
 * shelved for a limited time. Says what the alarms hold off. No I/O; changes are told to `onChange`.
 */
import {
  ALARM_NAMES,
  ALARMS,
  type AlarmChange,
  type AlarmName,
  type AlarmSpec,
  type AlarmState,
} from '../../shared/alarms/catalogue';
import type { Finding } from './finding';

/** One alarm as it stands now. */
export class AlarmRecord {
  readonly spec: AlarmSpec;
  /** The condition holds now. */
  present = false;
  /** It was raised, and is not back to normal. */
  standing = false;
  /** A person has accepted it. */
  seen = false;
  /** Uptime until which the alarm is shelved, ms; 0 when not. */
  shelvedUntilMs = 0;
  /** Uptime at which it was raised, ms; 0 when that was before this start. */
  raisedMs = 0;
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

/** Codes of `AlarmBank.codes`; 0: not standing. */
const STANDING = 1;
const SEEN = 2;

/** Told of each change; `forS` is how long the alarm is shelved, s, and 0 for any other change. */
export type AlarmListener = (record: AlarmRecord, change: AlarmChange, forS: number) => void;

/** All alarms of one tray. */
export class AlarmBank {
  readonly records = ALARM_NAMES.map((name) => new AlarmRecord(name));
  /** Name of an alarm that holds the mat off, or null. */
  matHeldBy: AlarmName | null = null;
  /** Name of an alarm that holds the pump off, or null. */
  pumpHeldBy: AlarmName | null = null;
  /** An alarm nobody has accepted yet, and whether one of them sounds. Shelved ones stay quiet. */
  unaccepted = false;
  sounding = false;

  readonly #byName = new Map<AlarmName, AlarmRecord>();
  #shelved = false;
  /** Some condition holds: while none does, that another does not hold is no news. */
  #troubled = false;

  constructor(readonly onChange: AlarmListener) {
    for (const record of this.records) this.#byName.set(record.name, record);
  }

  /** The record of this name; every alarm has one. */
  record(name: AlarmName): AlarmRecord {
    const record = this.#byName.get(name);
    if (record === undefined) throw new RangeError(`no alarm ${name}`);
    return record;
  }

  /** Tells whether a condition holds now. `value` met `limit`. Does nothing while that is known. */
  set(name: AlarmName, present: boolean, uptimeMs: number, value: number, limit: number): void {
    if (!present && !this.#troubled) return;
    const record = this.record(name);
    if (record.present === present) return;
    record.present = present;
    if (present) {
      record.value = value;
      record.limit = limit;
      // A condition that comes back after being accepted and gone is news again, unless it latched.
      if (!record.standing) {
        record.raisedMs = uptimeMs;
        record.seen = false;
      }
      record.standing = true;
    } else if (record.seen && !record.spec.latched) {
      record.standing = false;
    }
    this.#changed(record, present ? 'raised' : 'returned');
  }

  /** Raises a latched alarm whose condition is a single happening (a dose not seen): gone at once. */
  strike(name: AlarmName, uptimeMs: number, value: number, limit: number): void {
    const record = this.record(name);
    if (record.standing) return;
    this.set(name, true, uptimeMs, value, limit);
    record.present = false;
  }

  /** Takes over what a watch has found. */
  apply(findings: readonly Finding[], uptimeMs: number): void {
    if (findings.length === 0) return;
    for (const finding of findings) {
      if (finding.is === 'absent' || finding.is === 'over') {
        this.set(finding.alarm, false, uptimeMs, Number.NaN, Number.NaN);
        if (finding.is === 'over') this.clear(finding.alarm);
      } else if (finding.is === 'present')
        this.set(finding.alarm, true, uptimeMs, finding.value, finding.limit);
      else this.strike(finding.alarm, uptimeMs, finding.value, finding.limit);
    }
  }

  /** A person has seen it. Does nothing when it does not stand. */
  accept(name: AlarmName): AlarmRecord {
    const record = this.record(name);
    if (record.standing && !record.seen) {
      record.seen = true;
      record.standing = record.present || record.spec.latched;
      this.#changed(record, 'accepted');
    }
    return record;
  }

  /** Takes a latched alarm back. Only when its condition has gone; returns false otherwise. */
  clear(name: AlarmName): boolean {
    const record = this.record(name);
    if (record.present) return false;
    if (record.standing) {
      record.standing = false;
      record.shelvedUntilMs = 0;
      this.#changed(record, 'cleared');
    }
    return true;
  }

  /** Keeps it from sounding and from asking for a person until `untilMs`; what it holds stays held. */
  shelve(name: AlarmName, uptimeMs: number, untilMs: number): AlarmRecord {
    const record = this.record(name);
    record.shelvedUntilMs = untilMs;
    this.#changed(record, 'shelved', Math.round((untilMs - uptimeMs) / 1000));
    return record;
  }

  /** Ends shelving whose time is over. Cheap: call at each tick. */
  expireShelving(uptimeMs: number): void {
    if (!this.#shelved) return;
    for (const record of this.records) {
      if (record.shelvedUntilMs === 0 || uptimeMs < record.shelvedUntilMs) continue;
      record.shelvedUntilMs = 0;
      this.#changed(record, 'unshelved');
    }
  }

  /** Takes `codes` over after a restart: what was present is judged anew, what was latched stays. */
  restore(codes: Uint8Array): void {
    this.records.forEach((record, i) => {
      const code = codes[i] ?? 0;
      // A code of another firmware still says that something was wrong.
      record.standing = record.spec.latched && code !== 0;
      record.seen = code === SEEN;
    });
    this.#summarise();
  }

  /** One code for each alarm, for the checkpoint. */
  codes(into: Uint8Array): void {
    this.records.forEach(({ standing, seen }, i) => {
      into[i] = standing ? (seen ? SEEN : STANDING) : 0;
    });
  }

  #changed(record: AlarmRecord, change: AlarmChange, forS = 0): void {
    this.onChange(record, change, forS);
    this.#summarise();
  }

  #summarise(): void {
    this.matHeldBy = null;
    this.pumpHeldBy = null;
    this.unaccepted = false;
    this.sounding = false;
    this.#shelved = false;
    this.#troubled = false;
    for (const { name, spec, present, standing, seen, shelvedUntilMs } of this.records) {
      if (shelvedUntilMs !== 0) this.#shelved = true;
      if (present) this.#troubled = true;
      if (!standing) continue;
      const holds = present || spec.latched;
      if (holds && spec.dropsMat) this.matHeldBy ??= name;
      if (holds && spec.dropsPump) this.pumpHeldBy ??= name;
      if (shelvedUntilMs !== 0 || seen) continue;
      this.unaccepted = true;
      if (spec.sounds) this.sounding = true;
    }
  }
}
