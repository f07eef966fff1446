import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { AlarmBank } from '../../firmware/guard/alarm-bank';
import {
  ALARM_NAMES,
  ALARMS,
  type AlarmChange,
  type AlarmName,
  type AlarmSpec,
  type AlarmState,
} from '../../shared/alarms/catalogue';
import { holds } from '../properties';

type Event = 'raise' | 'return' | 'accept' | 'clear' | 'restart';
type Table = Readonly<Record<AlarmState, Partial<Readonly<Record<Event, AlarmState>>>>>;

/**
 * State transitions of IEC 62682 / ISA-18.2 (letters at `AlarmState`); what is not listed changes
 * nothing. A restart judges conditions anew: what does not latch has returned, as far as is known.
 */
const NOT_LATCHED: Table = {
  normal: { raise: 'unaccepted' },
  unaccepted: { accept: 'accepted', return: 'returned', restart: 'returned' },
  accepted: { return: 'normal', restart: 'normal' },
  returned: { raise: 'unaccepted', accept: 'normal', clear: 'normal' },
  'latched-unaccepted': {},
  'latched-accepted': {},
};
const LATCHED: Table = {
  normal: { raise: 'unaccepted' },
  unaccepted: { accept: 'accepted', return: 'latched-unaccepted', restart: 'latched-unaccepted' },
  accepted: { return: 'latched-accepted', restart: 'latched-accepted' },
  returned: {},
  'latched-unaccepted': { raise: 'unaccepted', accept: 'latched-accepted', clear: 'normal' },
  'latched-accepted': { raise: 'accepted', clear: 'normal' },
};

interface ModelAlarm {
  state: AlarmState;
  present: boolean;
  shelvedUntilMs: number;
  /** Accepted before the last restart: found again at once, it is no news. */
  recalled: boolean;
}
interface Model {
  uptimeMs: number;
  readonly alarms: Map<AlarmName, ModelAlarm>;
}
interface Real {
  bank: AlarmBank;
  heard: string[];
}

const specOf = (name: AlarmName): AlarmSpec => ALARMS[name];
const alarmOf = ({ alarms }: Model, name: AlarmName): ModelAlarm => {
  const alarm = alarms.get(name);
  if (alarm === undefined) throw new Error(`no alarm ${name}`);
  return alarm;
};
const quietAlarm = (): ModelAlarm => ({
  state: 'normal',
  present: false,
  shelvedUntilMs: 0,
  recalled: false,
});
const newModel = (): Model => ({
  uptimeMs: 1_000,
  alarms: new Map(ALARM_NAMES.map((name) => [name, quietAlarm()])),
});
const newReal = (): Real => {
  const heard: string[] = [];
  return { bank: new AlarmBank((record, change) => heard.push(`${record.name} ${change}`)), heard };
};

function move(model: Model, name: AlarmName, event: Event): void {
  const alarm = alarmOf(model, name);
  const { latched } = specOf(name);
  const table = latched ? LATCHED : NOT_LATCHED;
  const known = event === 'raise' && alarm.recalled;
  alarm.recalled =
    event === 'restart' ? !latched && alarm.state === 'accepted' : alarm.recalled && !known;
  alarm.state = known ? 'accepted' : (table[alarm.state][event] ?? alarm.state);
}

/** What the bank must say of all alarms together, from the model. */
function summaryOf({ alarms }: Model) {
  const active = [...alarms].filter(([, { state }]) => state !== 'normal');
  const holds = (drops: 'dropsMat' | 'dropsPump') =>
    active.some(([name, { present }]) => {
      const spec = specOf(name);
      return spec[drops] && (present || spec.latched);
    });
  const calling = active.filter(
    ([, { state, shelvedUntilMs }]) =>
      shelvedUntilMs === 0 && state !== 'accepted' && state !== 'latched-accepted',
  );
  return {
    states: [...alarms].map(([name, { state }]) => `${name}: ${state}`),
    matHeld: holds('dropsMat'),
    pumpHeld: holds('dropsPump'),
    unaccepted: calling.length > 0,
    sounding: calling.some(([name]) => specOf(name).sounds),
  };
}

class Step implements fc.Command<Model, Real> {
  constructor(
    readonly words: string,
    readonly can: (model: Model) => boolean,
    readonly act: (model: Model, real: Real) => readonly string[],
  ) {}
  check(model: Readonly<Model>): boolean {
    return this.can(model);
  }
  run(model: Model, real: Real): void {
    real.heard.length = 0;
    const expected = this.act(model, real);
    expect(real.heard).toEqual(expected);
    const { bank } = real;
    expect({
      states: bank.records.map(({ name, state }) => `${name}: ${state}`),
      matHeld: bank.matHeldBy !== null,
      pumpHeld: bank.pumpHeldBy !== null,
      unaccepted: bank.unaccepted,
      sounding: bank.sounding,
    }).toEqual(summaryOf(model));
  }
  toString(): string {
    return this.words;
  }
}

const told = (name: AlarmName, change: AlarmChange, happened: boolean): readonly string[] =>
  happened ? [`${name} ${change}`] : [];
const always = (): boolean => true;

const condition = (name: AlarmName, present: boolean) =>
  new Step(`${name} ${present ? 'holds' : 'has gone'}`, always, (model, { bank }) => {
    const alarm = alarmOf(model, name);
    const changed = alarm.present !== present;
    if (changed) move(model, name, present ? 'raise' : 'return');
    alarm.present = present;
    bank.set(name, present, model.uptimeMs, 1, 2);
    return told(name, present ? 'raised' : 'returned', changed);
  });

const strike = (name: AlarmName) =>
  new Step(
    `${name} happens once`,
    () => specOf(name).latched,
    (model, { bank }) => {
      const fresh = alarmOf(model, name).state === 'normal';
      if (fresh) {
        move(model, name, 'raise');
        move(model, name, 'return');
      }
      bank.strike(name, model.uptimeMs, 1, 2);
      return told(name, 'raised', fresh);
    },
  );

const accept = (name: AlarmName) =>
  new Step(`accept ${name}`, always, (model, { bank }) => {
    const before = alarmOf(model, name).state;
    move(model, name, 'accept');
    bank.accept(name);
    return told(name, 'accepted', alarmOf(model, name).state !== before);
  });

const clear = (name: AlarmName) =>
  new Step(`clear ${name}`, always, (model, { bank }) => {
    const alarm = alarmOf(model, name);
    const active = alarm.state !== 'normal';
    expect(bank.clear(name)).toBe(!alarm.present);
    if (alarm.present || !active) return [];
    move(model, name, 'clear');
    alarm.shelvedUntilMs = 0;
    return told(name, 'cleared', true);
  });

const shelve = (name: AlarmName, forMs: number) =>
  new Step(
    `shelve ${name} for ${forMs} ms`,
    (model) => alarmOf(model, name).state !== 'normal',
    (model, { bank }) => {
      const untilMs = model.uptimeMs + forMs;
      alarmOf(model, name).shelvedUntilMs = untilMs;
      bank.shelve(name, model.uptimeMs, untilMs);
      return told(name, 'shelved', true);
    },
  );

const pass = (ms: number) =>
  new Step(`${ms} ms pass`, always, (model, { bank }) => {
    model.uptimeMs += ms;
    const over: string[] = [];
    for (const [name, alarm] of model.alarms) {
      if (alarm.shelvedUntilMs === 0 || alarm.shelvedUntilMs > model.uptimeMs) continue;
      alarm.shelvedUntilMs = 0;
      over.push(`${name} unshelved`);
    }
    bank.expireShelving(model.uptimeMs);
    return over;
  });

const restart = () =>
  new Step('restart', always, (model, real) => {
    const codes = new Uint8Array(ALARM_NAMES.length);
    real.bank.codes(codes);
    const memories = real.bank.memories(true);
    real.bank = new AlarmBank((record, change) => real.heard.push(`${record.name} ${change}`));
    real.bank.restore(codes, memories, model.uptimeMs);
    for (const [name, alarm] of model.alarms) {
      move(model, name, 'restart');
      alarm.present = false;
      alarm.shelvedUntilMs = 0;
    }
    return [];
  });

// A few alarms of each kind, so that runs meet the same one again.
const someAlarm = fc.constantFrom<AlarmName>(
  'probe-open',
  'pump-stuck-on',
  'weight-rising',
  'dose-not-seen',
  'scale-silent',
  'profile-missing',
  'too-dry',
);
const steps = [
  fc.tuple(someAlarm, fc.boolean()).map(([name, present]) => condition(name, present)),
  fc.tuple(someAlarm, fc.boolean()).map(([name, present]) => condition(name, present)),
  someAlarm.map(strike),
  someAlarm.map(accept),
  someAlarm.map(clear),
  fc.tuple(someAlarm, fc.integer({ min: 1, max: 5_000 })).map(([name, ms]) => shelve(name, ms)),
  fc.integer({ min: 1, max: 3_000 }).map(pass),
  fc.constant(null).map(restart),
];

describe('the alarm bank', () => {
  it('follows the state table of IEC 62682, whatever happens in whatever order', () => {
    holds(
      fc.property(fc.commands(steps, { maxCommands: 80, size: 'max' }), (commands) => {
        fc.modelRun(() => ({ model: newModel(), real: newReal() }), commands);
      }),
      { numRuns: 300 },
    );
  });
});

describe('an alarm', () => {
  const bankWith = (name: AlarmName): AlarmBank => {
    const { bank } = newReal();
    bank.set(name, true, 5_000, 41, 38);
    return bank;
  };

  it('tells the value that decided, the limit it met, and when', () => {
    expect(bankWith('root-zone-hot').record('root-zone-hot')).toMatchObject({
      value: 41,
      limit: 38,
      raisedMs: 5_000,
    });
  });

  it('that drops the mat holds it until a person clears it, though the cause has gone', () => {
    const bank = bankWith('root-zone-hot');
    bank.set('root-zone-hot', false, 6_000, 30, 38);
    bank.accept('root-zone-hot');
    expect(bank.matHeldBy).toBe('root-zone-hot');
    expect(bank.clear('root-zone-hot')).toBe(true);
    expect(bank.matHeldBy).toBe(null);
  });

  it('cannot be cleared while its cause is there', () => {
    const bank = bankWith('root-zone-hot');
    expect(bank.clear('root-zone-hot')).toBe(false);
    expect(bank.matHeldBy).toBe('root-zone-hot');
  });

  it('shelved is quiet for its time only, and still holds what it held', () => {
    const bank = bankWith('root-zone-hot');
    expect(bank.sounding).toBe(true);
    bank.shelve('root-zone-hot', 5_000, 9_000);
    expect([bank.sounding, bank.unaccepted, bank.matHeldBy]).toEqual([
      false,
      false,
      'root-zone-hot',
    ]);
    bank.expireShelving(8_999);
    expect(bank.sounding).toBe(false);
    bank.expireShelving(9_000);
    expect(bank.sounding).toBe(true);
  });

  it('is told to the listener with the time it is shelved for, in seconds', () => {
    const heard: number[] = [];
    const bank = new AlarmBank((_, change, forS) => {
      if (change === 'shelved') heard.push(forS);
    });
    bank.set('too-dry', true, 0, 1, 1);
    bank.shelve('too-dry', 1_000, 3_601_000);
    expect(heard).toEqual([3_600]);
  });

  it('that latches stands when flash holds a code nobody knows: it held something off', () => {
    const { bank } = newReal();
    bank.restore(new Uint8Array(ALARM_NAMES.length).fill(0xff), [], 0);
    for (const { spec, state } of bank.records) {
      expect(state).toBe(spec.latched ? 'latched-unaccepted' : 'normal');
    }
  });

  it('of which flash holds nothing yet starts as normal', () => {
    const { bank } = newReal();
    bank.restore(new Uint8Array(0), [], 0);
    expect(bank.records.every(({ state }) => state === 'normal')).toBe(true);
  });
});

describe('the times of an alarm', () => {
  const HOUR_MS = 3_600_000;
  const raised = (name: AlarmName, atMs: number): AlarmBank => {
    const { bank } = newReal();
    bank.set(name, true, atMs, 41, 38);
    return bank;
  };
  const timesOf = (bank: AlarmBank, name: AlarmName) => {
    const { raisedMs, endedMs } = bank.record(name);
    return { raisedMs, endedMs, atLeast: bank.atLeast(bank.record(name)) };
  };
  /** The bank after a restart: its uptime begins anew at 0, `forMs` after the other's. */
  const restarted = (before: AlarmBank, clockKnown: boolean, uptimeMs: number): AlarmBank => {
    const codes = new Uint8Array(ALARM_NAMES.length);
    before.codes(codes);
    const memories = before.memories(clockKnown).map((one) => ({
      ...one,
      raisedMs: one.raisedMs - uptimeMs,
      endedMs: one.endedMs - uptimeMs,
    }));
    const { bank } = newReal();
    bank.restore(codes, memories, 0);
    return bank;
  };

  it('tell when its cause ended, and forget that when it comes back', () => {
    const bank = raised('root-zone-hot', 5_000);
    expect(timesOf(bank, 'root-zone-hot').endedMs).toBeNaN();
    bank.set('root-zone-hot', false, 9_000, Number.NaN, Number.NaN);
    expect(timesOf(bank, 'root-zone-hot')).toEqual({
      raisedMs: 5_000,
      endedMs: 9_000,
      atLeast: false,
    });
    bank.set('root-zone-hot', true, 12_000, 42, 38);
    expect(timesOf(bank, 'root-zone-hot')).toMatchObject({ raisedMs: 5_000, endedMs: Number.NaN });
  });

  it('are one and the same for a single happening', () => {
    const { bank } = newReal();
    bank.strike('dose-not-seen', 7_000, 3, 40);
    expect(timesOf(bank, 'dose-not-seen')).toMatchObject({ raisedMs: 7_000, endedMs: 7_000 });
  });

  it('begin anew when what was over, and does not latch, comes back', () => {
    const bank = raised('too-dry', 5_000);
    bank.set('too-dry', false, 9_000, Number.NaN, Number.NaN);
    bank.set('too-dry', true, 20_000, 1, 1);
    expect(timesOf(bank, 'too-dry').raisedMs).toBe(20_000);
  });

  it('outlive a restart with what was measured, and go on when the condition is found again', () => {
    const bank = restarted(raised('too-dry', HOUR_MS), true, 3 * HOUR_MS);
    expect(bank.record('too-dry')).toMatchObject({ state: 'returned', value: 41, limit: 38 });
    bank.set('too-dry', true, 60_000, 43, 38);
    expect(bank.record('too-dry')).toMatchObject({ state: 'unaccepted', raisedMs: -2 * HOUR_MS });
  });

  it('are those of before a restart for one that a person has seen, if it is found again at once', () => {
    const seen = raised('too-dry', HOUR_MS);
    seen.accept('too-dry');
    const soon = restarted(seen, true, 3 * HOUR_MS);
    soon.set('too-dry', true, 60_000, 43, 38);
    expect(soon.record('too-dry')).toMatchObject({ state: 'accepted', raisedMs: -2 * HOUR_MS });
    const later = restarted(seen, true, 3 * HOUR_MS);
    later.set('too-dry', true, HOUR_MS, 43, 38);
    expect(later.record('too-dry')).toMatchObject({ state: 'unaccepted', raisedMs: HOUR_MS });
  });

  it('count an outage once a clock has told of it, and are "at least" until then', () => {
    const bank = restarted(raised('root-zone-hot', HOUR_MS), true, 3 * HOUR_MS);
    expect(timesOf(bank, 'root-zone-hot')).toMatchObject({ raisedMs: -2 * HOUR_MS, atLeast: true });
    bank.tellOutage(5 * HOUR_MS);
    const told = { raisedMs: -7 * HOUR_MS, atLeast: false };
    expect(timesOf(bank, 'root-zone-hot')).toMatchObject(told);
    bank.tellOutage(5 * HOUR_MS);
    expect(timesOf(bank, 'root-zone-hot')).toMatchObject(told);
  });

  it('count two outages told as one, where it was raised before both', () => {
    const first = restarted(raised('root-zone-hot', HOUR_MS), true, 3 * HOUR_MS);
    const second = restarted(first, false, HOUR_MS);
    second.tellOutage(5 * HOUR_MS);
    expect(timesOf(second, 'root-zone-hot')).toMatchObject({
      raisedMs: -8 * HOUR_MS,
      atLeast: false,
    });
  });

  it('stay "at least" where a clock tells of more outages than lie in between', () => {
    const raisedUndated = raised('root-zone-hot', HOUR_MS);
    const bank = restarted(raisedUndated, false, 3 * HOUR_MS);
    bank.tellOutage(5 * HOUR_MS);
    expect(timesOf(bank, 'root-zone-hot')).toMatchObject({ raisedMs: -2 * HOUR_MS, atLeast: true });
    // What has ended since the start is known to the second.
    bank.set('root-zone-hot', true, 60_000, 41, 38);
    bank.set('root-zone-hot', false, 90_000, Number.NaN, Number.NaN);
    expect(timesOf(bank, 'root-zone-hot')).toMatchObject({ endedMs: 90_000, atLeast: false });
  });

  it('of an alarm whose memory flash has not are those of the start, at least', () => {
    const { bank } = newReal();
    const codes = new Uint8Array(ALARM_NAMES.length);
    raised('root-zone-hot', 5_000).codes(codes);
    bank.restore(codes, [], 1_000);
    expect(timesOf(bank, 'root-zone-hot')).toMatchObject({ raisedMs: 1_000, atLeast: true });
  });
});
