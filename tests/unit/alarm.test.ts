import { describe, expect, it } from 'vitest';
import { AlarmBank } from '../../firmware/guard/alarm-bank';
import { ALARM_NAMES, type AlarmName } from '../../shared/alarms/catalogue';

describe('an alarm', () => {
  const bankWith = (name: AlarmName): AlarmBank => {
    const bank = new AlarmBank(() => {});
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
    const bank = new AlarmBank(() => {});
    bank.restore(new Uint8Array(ALARM_NAMES.length).fill(0xff), [], 0);
    for (const { spec, state } of bank.records) {
      expect(state).toBe(spec.latched ? 'latched-unaccepted' : 'normal');
    }
  });

  it('by such a code that is found again soon was accepted by nobody', () => {
    const bank = new AlarmBank(() => {});
    bank.restore(new Uint8Array(ALARM_NAMES.length).fill(0xff), [], 0);
    bank.set('too-dry', true, 1_000, 1, 1);
    expect(bank.record('too-dry').state).toBe('unaccepted');
  });

  it('that was over and is found again is news, with a time of its own', () => {
    const bank = bankWith('too-dry');
    bank.set('too-dry', false, 6_000, Number.NaN, Number.NaN);
    bank.set('too-dry', true, 7_000, 1, 1);
    expect(bank.record('too-dry').raisedMs).toBe(7_000);
  });

  it('accepted before a restart is no news once: found, over, and found anew it is', () => {
    const before = bankWith('too-dry');
    before.accept('too-dry');
    const codes = new Uint8Array(ALARM_NAMES.length);
    before.codes(codes);
    const bank = new AlarmBank(() => {});
    bank.restore(codes, [], 0);
    const states = [true, false, true].map((present, i) => {
      bank.set('too-dry', present, 1_000 * (i + 1), 1, 1);
      return bank.record('too-dry').state;
    });
    expect(states).toEqual(['accepted', 'normal', 'unaccepted']);
  });

  it('of which flash holds nothing yet starts as normal', () => {
    const bank = new AlarmBank(() => {});
    bank.restore(new Uint8Array(0), [], 0);
    expect(bank.records.every(({ state }) => state === 'normal')).toBe(true);
  });
});
