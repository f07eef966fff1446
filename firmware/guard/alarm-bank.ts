/**
 * The state of every alarm, after IEC 62682 / ISA-18.2: present or gone, accepted or not, latched,
 * shelved for a limited time. Says what the alarms hold off. No I/O; changes are told to `onChange`.
 */
import { ALARM_NAMES, type AlarmChange, type AlarmName } from '../../shared/alarms/catalogue';
import { Alarm, isUntold, type Remembered } from './alarm';
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
export type AlarmListener = (record: Alarm, change: AlarmChange, forS: number) => void;

/** All alarms of one tray. */
export class AlarmBank {
  readonly #alarms: Alarm[] = ALARM_NAMES.map((name) => new Alarm(name));
  readonly #places: ReadonlyMap<AlarmName, number> = new Map(
    ALARM_NAMES.map((name, i) => [name, i]),
  );
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

  constructor(readonly onChange: AlarmListener) {}

  get records(): readonly Alarm[] {
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

  /** The alarm of this name as it stands now; every alarm has one. */
  record(name: AlarmName): Alarm {
    const record = this.#alarms[this.#placeOf(name)];
    if (record === undefined) throw new RangeError(`no alarm ${name}`);
    return record;
  }

  #placeOf(name: AlarmName): number {
    return this.#places.get(name) ?? -1;
  }

  /** Whether it stood before the restart, as far as is known to the end, and has not been found again yet. */
  stoodBefore(name: AlarmName, uptimeMs: number): boolean {
    const record = this.record(name);
    return !record.present && record.againAs(uptimeMs) !== null;
  }

  /** Tells whether a condition holds now. `value` met `limit`. Does nothing while that is known. */
  set(name: AlarmName, present: boolean, uptimeMs: number, value: number, limit: number): void {
    if (!present && !this.#troubled) return;
    const record = this.record(name);
    if (record.present === present) return;
    if (present) this.#change(record.found(uptimeMs, value, limit), 'raised');
    else this.#change(record.over(uptimeMs), 'returned');
  }

  /** Raises a latched alarm whose condition is a single happening (a dose not seen): gone at once. */
  strike(name: AlarmName, uptimeMs: number, value: number, limit: number): void {
    if (this.record(name).standing) return;
    this.set(name, true, uptimeMs, value, limit);
    this.#keep(this.record(name).over(uptimeMs));
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
  accept(name: AlarmName): Alarm {
    const record = this.record(name);
    if (record.standing && !record.seen) this.#change(record.accepted(), 'accepted');
    return this.record(name);
  }

  /** Takes a latched alarm back. Only when its condition has gone; returns false otherwise. */
  clear(name: AlarmName): boolean {
    const record = this.record(name);
    if (record.present) return false;
    if (record.standing) this.#change(record.cleared(), 'cleared');
    return true;
  }

  /** Keeps it from sounding and from asking for a person until `untilMs`; what it holds stays held. */
  shelve(name: AlarmName, uptimeMs: number, untilMs: number): Alarm {
    const record = this.record(name).shelved(untilMs);
    this.#change(record, 'shelved', Math.round((untilMs - uptimeMs) / 1000));
    return record;
  }

  /** Ends shelving whose time is over. Cheap: call at each tick. */
  expireShelving(uptimeMs: number): void {
    if (!this.#shelved) return;
    for (const record of this.#alarms) {
      if (record.shelvedUntilMs === 0 || uptimeMs < record.shelvedUntilMs) continue;
      this.#change(record.shelved(0), 'unshelved');
    }
  }

  /** Takes over what was before a restart at `uptimeMs`; see `Alarm.remembered`. `memories`: as far as there are any. */
  restore(codes: ArrayLike<number>, memories: readonly AlarmMemory[], uptimeMs: number): void {
    this.#startedMs = uptimeMs;
    for (const record of this.#alarms) {
      const code = codes[this.#placeOf(record.name)] ?? 0;
      if (code === 0) continue;
      const memory = memories.find(({ name }) => name === record.name);
      const last = {
        raisedMs: memory?.raisedMs ?? uptimeMs,
        value: memory?.value ?? Number.NaN,
        limit: memory?.limit ?? Number.NaN,
        untold: memory?.untoldForGood === false ? 'before-start' : 'for-good',
      } as const;
      const endedMs = memory?.endedMs ?? Number.NaN;
      const recallMs = uptimeMs + GUARD_LIMITS.recallMs;
      this.#keep(record.remembered(rememberedBy(code), last, endedMs, recallMs));
    }
    this.#summarise();
  }

  /** A clock has told for how long the board was off before this start, ms; another one may correct it. */
  tellOutage(forMs: number): void {
    const moreMs = forMs - this.#toldMs;
    this.#toldMs = forMs;
    for (const record of this.#alarms) {
      const { untold } = record.last;
      if (untold !== 'before-start' && untold !== 'told') continue;
      this.#keep(record.olderBy(untold === 'told' ? moreMs : forMs, this.#startedMs));
    }
  }

  /** Whether it was raised, or ended if it has, longer ago than its time says: the board was off meanwhile. */
  atLeast({ last, raisedMs, endedMs }: Alarm): boolean {
    const atMs = Number.isNaN(endedMs) ? raisedMs : endedMs;
    return isUntold(last.untold) && atMs <= this.#startedMs;
  }

  /** What the next start must know of those that stand. `clockKnown`: a clock will tell the next outage alone. */
  memories(clockKnown: boolean): readonly AlarmMemory[] {
    return this.#alarms
      .filter(({ standing }) => standing)
      .map(({ name, endedMs, last: { raisedMs, untold, value, limit } }) => {
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

  #keep(record: Alarm): void {
    this.#alarms[this.#placeOf(record.name)] = record;
  }

  #change(record: Alarm, change: AlarmChange, forS = 0): void {
    this.#keep(record);
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

/** A code of another firmware still says that something was wrong. */
function rememberedBy(code: number): Remembered {
  if (code === SEEN) return 'seen';
  return code === STANDING ? 'standing' : 'unknown';
}
