import { describe, expect, it } from 'vitest';
import { AlarmBank } from '../../firmware/guard/alarm-bank';
import { ALARM_NAMES, type AlarmName } from '../../shared/alarms/catalogue';
import { HOUR_MS } from '../../shared/units/time';

describe('the times of an alarm', () => {
  const raised = (name: AlarmName, atMs: number): AlarmBank => {
    const bank = new AlarmBank(() => {});
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
    const bank = new AlarmBank(() => {});
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
    const bank = new AlarmBank(() => {});
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
    const bank = new AlarmBank(() => {});
    const codes = new Uint8Array(ALARM_NAMES.length);
    raised('root-zone-hot', 5_000).codes(codes);
    bank.restore(codes, [], 1_000);
    expect(timesOf(bank, 'root-zone-hot')).toMatchObject({ raisedMs: 1_000, atLeast: true });
  });
});
