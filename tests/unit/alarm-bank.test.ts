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
import { Step } from './step';

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
    states: [...alarms].map(([name, { state }]) => `${name}: ${state}`).join('\n'),
    matHeld: holds('dropsMat'),
    pumpHeld: holds('dropsPump'),
    unaccepted: calling.length > 0,
    sounding: calling.some(([name]) => specOf(name).sounds),
  };
}

/** A step that tells what the bank must have said of itself. */
function step(
  words: string,
  can: (model: Model) => boolean,
  act: (model: Model, real: Real) => readonly string[],
): Step<Model, Real> {
  return new Step<Model, Real>(
    words,
    (model, real) => {
      real.heard.length = 0;
      const heard = act(model, real);
      const { bank } = real;
      expect({
        heard: real.heard,
        states: bank.records.map(({ name, state }) => `${name}: ${state}`).join('\n'),
        matHeld: bank.matHeldBy !== null,
        pumpHeld: bank.pumpHeldBy !== null,
        unaccepted: bank.unaccepted,
        sounding: bank.sounding,
      }).toEqual({ heard, ...summaryOf(model) });
    },
    can,
  );
}

const told = (name: AlarmName, change: AlarmChange, happened: boolean): readonly string[] =>
  happened ? [`${name} ${change}`] : [];
const always = (): boolean => true;

const condition = (name: AlarmName, present: boolean) =>
  step(`${name} ${present ? 'holds' : 'has gone'}`, always, (model, { bank }) => {
    const alarm = alarmOf(model, name);
    const changed = alarm.present !== present;
    if (changed) move(model, name, present ? 'raise' : 'return');
    alarm.present = present;
    bank.set(name, present, model.uptimeMs, 1, 2);
    return told(name, present ? 'raised' : 'returned', changed);
  });

const strike = (name: AlarmName) =>
  step(
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
  step(`accept ${name}`, always, (model, { bank }) => {
    const before = alarmOf(model, name).state;
    move(model, name, 'accept');
    bank.accept(name);
    return told(name, 'accepted', alarmOf(model, name).state !== before);
  });

const clear = (name: AlarmName) =>
  step(`clear ${name}`, always, (model, { bank }) => {
    const alarm = alarmOf(model, name);
    const active = alarm.state !== 'normal';
    expect(bank.clear(name)).toBe(!alarm.present);
    if (alarm.present || !active) return [];
    move(model, name, 'clear');
    alarm.shelvedUntilMs = 0;
    return told(name, 'cleared', true);
  });

const shelve = (name: AlarmName, forMs: number) =>
  step(
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
  step(`${ms} ms pass`, always, (model, { bank }) => {
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
  step('restart', always, (model, real) => {
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
