/**
 * The state of every alarm, after IEC 62682 / ISA-18.2: present or gone, accepted or not, latched,
 * shelved for a limited time. Says what the alarms hold off. No I/O; changes are told to `onChange`.
 */
import { ALARM_NAMES, type AlarmChange, type AlarmName } from '../../shared/alarms/catalogue';
import { Alarm, type AlarmRecord, isUntold } from './alarm';
import type { Finding } from './finding';
import { GUARD_LIMITS } from './limits';

/** What a restart must know of an alarm besides its code. Times in uptime, ms: below 0 before this start. */
export interface AlarmMemory {
  readonly name: AlarmName;
  readonly raisedMs: number;
  /** NaN when the condition was there, or nobody knows. */
  readonly endedMs: number;
  /** The board was off for so long as nobody will ever know. */
  readonly untoldForGood: boolean;
  readonly value: number;
  readonly limit: number;
}

/** Codes of `AlarmBank.codes`; 0: not standing. */
const STANDING = 1;
const SEEN = 2;

/** Told of each change; `forS` is how long the alarm is shelved, s, and 0 for any other change. */
export type AlarmListener = (record: AlarmRecord, change: AlarmChange, forS: number) => void;

/** All alarms of one tray. */
export class AlarmBank {
  readonly #alarms: readonly Alarm[] = ALARM_NAMES.map((name) => new Alarm(name));
  readonly #byName = new Map<AlarmName, Alarm>();
  #matHeldBy: AlarmName | null = null;
  #pumpHeldBy: AlarmName | null = null;
  #unaccepted = false;
  #sounding = false;
  /** Uptime at which the bank took over what was before the restart, ms. */
  #startedMs = 0;
  /** For how long the board was off before this start, as the last clock told, ms. */
  #toldMs = 0;
  #shelved = false;
  /** Some condition holds: while none does, that another does not hold is no news. */
  #troubled = false;

  constructor(readonly onChange: AlarmListener) {
    for (const record of this.#alarms) this.#byName.set(record.name, record);
  }

  get records(): readonly AlarmRecord[] {
    return this.#alarms;
  }

  /** Name of an alarm that holds the mat off, or null. */
  get matHeldBy(): AlarmName | null {
    return this.#matHeldBy;
  }

  /** Name of an alarm that holds the pump off, or null. */
  get pumpHeldBy(): AlarmName | null {
    return this.#pumpHeldBy;
  }

  /** An alarm nobody has accepted yet; shelved ones stay quiet. */
  get unaccepted(): boolean {
    return this.#unaccepted;
  }

  /** One of them sounds. */
  get sounding(): boolean {
    return this.#sounding;
  }

  /** The record of this name; every alarm has one. */
  record(name: AlarmName): AlarmRecord {
    return this.#alarm(name);
  }

  #alarm(name: AlarmName): Alarm {
    const record = this.#byName.get(name);
    if (record === undefined) throw new RangeError(`no alarm ${name}`);
    return record;
  }

  /** Whether it stood before the restart, as far as is known to the end, and has not been found again yet. */
  stoodBefore(name: AlarmName, uptimeMs: number): boolean {
    const record = this.#alarm(name);
    return !record.present && record.againAs(uptimeMs) !== null;
  }

  /** Tells whether a condition holds now. `value` met `limit`. Does nothing while that is known. */
  set(name: AlarmName, present: boolean, uptimeMs: number, value: number, limit: number): void {
    if (!present && !this.#troubled) return;
    const record = this.#alarm(name);
    if (record.present === present) return;
    if (present) {
      record.value = value;
      record.limit = limit;
      const again = record.againAs(uptimeMs);
      if (again === null) {
        record.raisedMs = uptimeMs;
        record.untold = 'none';
      }
      record.state = again ?? 'unaccepted';
      record.endedMs = Number.NaN;
      record.recall = null;
    } else {
      record.endedMs = uptimeMs;
      record.state = record.gone;
    }
    this.#changed(record, present ? 'raised' : 'returned');
  }

  /** Raises a latched alarm whose condition is a single happening (a dose not seen): gone at once. */
  strike(name: AlarmName, uptimeMs: number, value: number, limit: number): void {
    const record = this.#alarm(name);
    if (record.standing) return;
    this.set(name, true, uptimeMs, value, limit);
    record.state = record.gone;
    record.endedMs = uptimeMs;
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
    const record = this.#alarm(name);
    if (record.standing && !record.seen) {
      record.state = record.acceptedNow;
      this.#changed(record, 'accepted');
    }
    return record;
  }

  /** Takes a latched alarm back. Only when its condition has gone; returns false otherwise. */
  clear(name: AlarmName): boolean {
    const record = this.#alarm(name);
    if (record.present) return false;
    if (record.standing) {
      record.state = 'normal';
      record.shelvedUntilMs = 0;
      this.#changed(record, 'cleared');
    }
    return true;
  }

  /** Keeps it from sounding and from asking for a person until `untilMs`; what it holds stays held. */
  shelve(name: AlarmName, uptimeMs: number, untilMs: number): AlarmRecord {
    const record = this.#alarm(name);
    record.shelvedUntilMs = untilMs;
    this.#changed(record, 'shelved', Math.round((untilMs - uptimeMs) / 1000));
    return record;
  }

  /** Ends shelving whose time is over. Cheap: call at each tick. */
  expireShelving(uptimeMs: number): void {
    if (!this.#shelved) return;
    for (const record of this.#alarms) {
      if (record.shelvedUntilMs === 0 || uptimeMs < record.shelvedUntilMs) continue;
      record.shelvedUntilMs = 0;
      this.#changed(record, 'unshelved');
    }
  }

  /**
   * Takes over what was before a restart at `uptimeMs`. Conditions are judged anew: what latched still holds; what
   * did not, and was not accepted, has returned as far as is known; what was accepted is so again if it is found
   * soon. `memories`: as far as there are any.
   */
  restore(codes: ArrayLike<number>, memories: readonly AlarmMemory[], uptimeMs: number): void {
    this.#startedMs = uptimeMs;
    this.#alarms.forEach((record, i) => {
      const code = codes[i] ?? 0;
      if (code === 0) return;
      const seen = code === SEEN;
      // A code of another firmware still says that something was wrong.
      if (record.spec.latched) record.state = seen ? 'latched-accepted' : 'latched-unaccepted';
      else if (code === STANDING) record.state = 'returned';
      else {
        const untilMs = uptimeMs + GUARD_LIMITS.recallMs;
        record.recall = { untilMs, as: seen ? 'accepted' : 'unaccepted' };
      }
      const memory = memories.find(({ name }) => name === record.name);
      record.raisedMs = memory?.raisedMs ?? uptimeMs;
      record.endedMs = memory?.endedMs ?? Number.NaN;
      record.value = memory?.value ?? Number.NaN;
      record.limit = memory?.limit ?? Number.NaN;
      record.untold = memory?.untoldForGood === false ? 'before-start' : 'for-good';
    });
    this.#summarise();
  }

  /** A clock has told for how long the board was off before this start, ms; another one may correct it. */
  tellOutage(forMs: number): void {
    const moreMs = forMs - this.#toldMs;
    this.#toldMs = forMs;
    for (const record of this.#alarms) {
      if (record.untold !== 'before-start' && record.untold !== 'told') continue;
      const byMs = record.untold === 'told' ? moreMs : forMs;
      record.untold = 'told';
      record.raisedMs -= byMs;
      if (record.endedMs < this.#startedMs) record.endedMs -= byMs;
    }
  }

  /** Whether it was raised, or ended if it has, longer ago than its time says: the board was off meanwhile. */
  atLeast({ untold, raisedMs, endedMs }: AlarmRecord): boolean {
    const atMs = Number.isNaN(endedMs) ? raisedMs : endedMs;
    return isUntold(untold) && atMs <= this.#startedMs;
  }

  /** What the next start must know of those that stand. `clockKnown`: a clock will tell the next outage alone. */
  memories(clockKnown: boolean): readonly AlarmMemory[] {
    return this.#alarms
      .filter(({ standing }) => standing)
      .map(({ name, raisedMs, endedMs, untold, value, limit }) => {
        // Told in one sum with the outage before this start: right for what was before both.
        const beforeBoth = untold === 'before-start' && !(endedMs >= this.#startedMs);
        const untoldForGood = clockKnown ? isUntold(untold) : !beforeBoth;
        return { name, raisedMs, endedMs, untoldForGood, value, limit };
      });
  }

  /** One code for each alarm, for the checkpoint. */
  codes(into: Uint8Array): void {
    this.#alarms.forEach(({ standing, seen }, i) => {
      into[i] = standing ? (seen ? SEEN : STANDING) : 0;
    });
  }

  #changed(record: Alarm, change: AlarmChange, forS = 0): void {
    this.onChange(record, change, forS);
    this.#summarise();
  }

  #summarise(): void {
    this.#matHeldBy = null;
    this.#pumpHeldBy = null;
    this.#unaccepted = false;
    this.#sounding = false;
    this.#shelved = false;
    this.#troubled = false;
    for (const { name, spec, present, standing, seen, shelvedUntilMs } of this.#alarms) {
      if (shelvedUntilMs !== 0) this.#shelved = true;
      if (present) this.#troubled = true;
      if (!standing) continue;
      const holds = present || spec.latched;
      if (holds && spec.dropsMat) this.#matHeldBy ??= name;
      if (holds && spec.dropsPump) this.#pumpHeldBy ??= name;
      if (shelvedUntilMs !== 0 || seen) continue;
      this.#unaccepted = true;
      if (spec.sounds) this.#sounding = true;
    }
  }
}
