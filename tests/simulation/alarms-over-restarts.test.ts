/** What a grower reads of an alarm after a power cut: since when it stands, until when it stood, and what was measured. */
import { describe, expect, it } from 'vitest';
import { RECORD_STEP_BYTES, readHead } from '../../firmware/storage/settings-record';
import { SETTING } from '../../firmware/tray/setting-keys';
import { FLASH_MAP } from '../../shared/board/map';
import { HELD_REASONS } from '../../shared/link/held';
import type { AlarmReport } from '../../shared/link/status';
import { HOUR_MS, HOUR_S, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { sownTray, stateOfAlarm, wateredTray } from './scenes';

/** A checkpoint is no older than this when the power goes, and a start takes a moment. */
const NEARLY_S = 10;

function reportOf(grower: Grower, alarm: string): AlarmReport {
  const report = grower.status().alarms.find((one) => one.alarm === alarm);
  if (report === undefined) throw new Error(`${alarm} does not stand`);
  return report;
}

function cutFor(grower: Grower, ms: number): void {
  grower.bench.cutPower();
  grower.bench.run(ms);
  grower.bench.restorePower();
  grower.bench.run(2 * MINUTE_MS);
  grower.connect();
}

const setClock = (grower: Grower) => grower.call('clock.set', { unixMs: grower.bench.unixMs });

/** A probe whose wire was off for half an hour, the last time three hours ago. */
function mendedWire(): Grower {
  const grower = sownTray();
  grower.bench.fault('probe-open', true, HOUR_MS / 2);
  grower.bench.run(3.5 * HOUR_MS);
  return grower;
}

describe('an alarm after a power cut', () => {
  it('is as old as it is, its end too, and says what was measured', () => {
    const grower = mendedWire();
    setClock(grower);
    const before = reportOf(grower, 'probe-open');
    expect(before.endedS).toBeGreaterThan(3 * HOUR_S - 2 * 60);
    cutFor(grower, 5 * HOUR_MS);
    setClock(grower);
    const after = reportOf(grower, 'probe-open');
    const later = 5 * HOUR_S + 2 * 60;
    expect(Math.abs(after.ageS - before.ageS - later)).toBeLessThan(NEARLY_S);
    expect(Math.abs((after.endedS ?? 0) - (before.endedS ?? 0) - later)).toBeLessThan(NEARLY_S);
    expect(after).toMatchObject({
      state: 'latched-unaccepted',
      atLeast: false,
      value: before.value,
      limit: before.limit,
    });
    expect(before.value).not.toBeNull();
  });

  it('is at least so old until a clock has told how long the power was out', () => {
    const grower = mendedWire();
    setClock(grower);
    const before = reportOf(grower, 'probe-open');
    cutFor(grower, 5 * HOUR_MS);
    const untold = reportOf(grower, 'probe-open');
    expect(untold.atLeast).toBe(true);
    expect(untold.ageS).toBeLessThanOrEqual(before.ageS + 3 * 60);
    setClock(grower);
    expect(reportOf(grower, 'probe-open').atLeast).toBe(false);
  });

  it('is at least so old for ever where no clock was known when it was raised', () => {
    const grower = mendedWire();
    cutFor(grower, 5 * HOUR_MS);
    setClock(grower);
    expect(reportOf(grower, 'probe-open').atLeast).toBe(true);
    cutFor(grower, HOUR_MS);
    setClock(grower);
    expect(reportOf(grower, 'probe-open').atLeast).toBe(true);
  });

  it('does not latch and was never seen: it still says that it was there, and that it is over', () => {
    const grower = sownTray();
    setClock(grower);
    grower.bench.fault('scale-unplugged', true, HOUR_MS / 2);
    grower.bench.run(HOUR_MS);
    cutFor(grower, HOUR_MS);
    setClock(grower);
    const { state, endedS } = reportOf(grower, 'scale-silent');
    expect(state).toBe('returned');
    expect(Math.abs((endedS ?? 0) - 1.5 * HOUR_S)).toBeLessThan(5 * 60);
    grower.call('alarm.accept', { alarm: 'scale-silent' });
    cutFor(grower, MINUTE_MS);
    expect(grower.alarms()).toEqual([]);
  });

  it('was seen, and its cause is still there: it is no news, and as old as before', () => {
    const grower = sownTray();
    setClock(grower);
    grower.bench.fault('scale-unplugged');
    grower.bench.run(HOUR_MS);
    grower.call('alarm.accept', { alarm: 'scale-silent' });
    cutFor(grower, HOUR_MS);
    setClock(grower);
    const report = reportOf(grower, 'scale-silent');
    expect(report.state).toBe('accepted');
    expect(report.ageS).toBeGreaterThan(2 * HOUR_S - 60);
  });

  it('was mended: nothing of it is left', () => {
    const grower = mendedWire();
    grower.call('alarm.clear', { alarm: 'probe-open' });
    cutFor(grower, HOUR_MS);
    expect(grower.alarms()).toEqual([]);
  });
});

/** Sequence of the newest record of this key: it rises with every one that is written. */
function newestOf({ bench }: Grower, key: number): number {
  let newest = 0;
  const { offset, bytes } = FLASH_MAP.settings;
  for (let at = offset; at < offset + bytes; at += RECORD_STEP_BYTES) {
    const head = readHead(bench.flash.bytes, at);
    if (head?.key === key) newest = Math.max(newest, head.sequence);
  }
  return newest;
}

describe('an alarm that stands and grows old', () => {
  it('wears no flash: it is written down when it changes, not with each checkpoint', () => {
    const grower = mendedWire();
    const written = { alarms: new Set<number>(), run: new Set<number>() };
    for (let ms = 0; ms < 6 * HOUR_MS; ms += 5 * MINUTE_MS) {
      written.alarms.add(newestOf(grower, SETTING.alarms));
      written.run.add(newestOf(grower, SETTING.run));
      grower.bench.run(5 * MINUTE_MS);
    }
    expect(written.run.size).toBeGreaterThan(60);
    // The log takes what still holds along when it comes round to it.
    expect(written.alarms.size).toBeLessThanOrEqual(3);
    expect([...written.alarms].every((sequence) => sequence > 0)).toBe(true);
  });
});

describe('water that hands hold off for half a day', () => {
  /** Somebody is at the tray again and again. */
  function busyHands(grower: Grower, ms: number): void {
    for (let i = 0; i < ms / MINUTE_MS; i++) {
      if (i % 2 === 0) grower.bench.hand.putWeight(60);
      else grower.bench.hand.takeWeight();
      grower.bench.run(MINUTE_MS);
    }
  }

  it('is an alarm that names them, and after a power cut the same one, not a new one in half a day', () => {
    const grower = wateredTray();
    busyHands(grower, 11 * HOUR_MS);
    expect(stateOfAlarm(grower, 'water-held')).toBe('normal');
    busyHands(grower, 2 * HOUR_MS);
    expect(reportOf(grower, 'water-held')).toMatchObject({
      state: 'unaccepted',
      value: HELD_REASONS.indexOf('handling'),
    });
    cutFor(grower, MINUTE_MS);
    busyHands(grower, 10 * MINUTE_MS);
    expect(reportOf(grower, 'water-held')).toMatchObject({ state: 'unaccepted', endedS: null });
    expect(reportOf(grower, 'water-held').ageS).toBeGreaterThan(HOUR_S / 2);
  });

  it('is an alarm in half a day though the power is cut every few hours', () => {
    const grower = wateredTray();
    for (let cut = 0; cut < 2; cut++) {
      busyHands(grower, 5 * HOUR_MS);
      expect(stateOfAlarm(grower, 'water-held')).toBe('normal');
      cutFor(grower, MINUTE_MS);
    }
    busyHands(grower, 3 * HOUR_MS);
    expect(stateOfAlarm(grower, 'water-held')).toBe('unaccepted');
  });
});
