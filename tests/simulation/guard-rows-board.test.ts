/** What the guard finds of the board itself: restarts and mistakes; and the states an alarm goes through. */
import { describe, expect, it } from 'vitest';
import type { Board } from '../../firmware/board';
import { HEAT_LIMITS } from '../../firmware/limits';
import { createController } from '../../firmware/main';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower } from './grower';
import { changesOf, doses, sownTray, stateOfAlarm, wateredTray } from './scenes';

describe('a board that restarts often', () => {
  const CAUSES = ['watchdog', 'brown-out', 'fault'] as const;
  const restart = (grower: Grower, everyMs: number) => {
    for (const cause of CAUSES) {
      grower.bench.reset(cause);
      grower.bench.run(everyMs);
    }
  };

  it('resumes by itself after the first two faults of an hour', () => {
    const grower = sownTray();
    for (const cause of CAUSES.slice(0, 2)) {
      grower.bench.reset(cause);
      expect(grower.bench.state().outputs).toMatchObject({ mat: false, pump: false });
      grower.bench.run(15 * MINUTE_MS);
    }
    expect(grower.alarms()).toEqual([]);
    expect(grower.status().heat.heldBy).toBe(null);
  });

  it('does not rattle its mat: after each start it rests its least time', () => {
    const grower = sownTray({}, { room: { meanC: 12 } });
    const { bench } = grower;
    const heats = () => bench.state().outputs.mat;
    for (const cause of ['request', 'power-on'] as const) {
      expect(bench.runUntil(heats, HOUR_MS)).toBe(true);
      const offMs = bench.nowMs;
      bench.reset(cause);
      expect(bench.runUntil(heats, HOUR_MS)).toBe(true);
      expect(bench.nowMs - offMs).toBeGreaterThanOrEqual(HEAT_LIMITS.minOffMs);
      expect(bench.nowMs - offMs).toBeLessThan(HEAT_LIMITS.minOffMs + 5_000);
    }
  });

  it('stays off at the third, over power cuts too, until a person clears it', () => {
    const grower = wateredTray();
    restart(grower, 15 * MINUTE_MS);
    expect(grower.alarms()).toContain('restarting-often');
    const matS = () => {
      let onS = 0;
      for (let minute = 0; minute < 12 * 60; minute++) {
        grower.bench.run(MINUTE_MS);
        if (grower.bench.state().outputs.mat) onS++;
      }
      return onS;
    };
    expect(matS()).toBe(0);
    grower.bench.cutPower();
    grower.bench.run(MINUTE_MS);
    grower.bench.restorePower();
    expect(matS()).toBe(0);
    expect(grower.status().heat.heldBy).toBe('restarting-often');
    expect(grower.status().water.heldBy).toBe('restarting-often');
    expect(doses(grower)).toEqual([]);
    expect(() => grower.call('pump.run', { ms: 1000, reason: 'prime' })).toThrow(
      /restarting-often/,
    );
    grower.call('alarm.clear', { alarm: 'restarting-often' });
    expect(matS()).toBeGreaterThan(0);
  });

  it('is not meant when the restarts are hours apart, or asked for, or cut mains', () => {
    const grower = sownTray();
    restart(grower, 65 * MINUTE_MS);
    for (let i = 0; i < 4; i++) {
      grower.bench.reset('request');
      grower.bench.run(MINUTE_MS);
      grower.bench.cutPower();
      grower.bench.run(MINUTE_MS);
      grower.bench.restorePower();
      grower.bench.run(MINUTE_MS);
    }
    expect(grower.alarms()).toEqual([]);
  });

  it('firmware that hangs is restarted by the watchdog with the outputs off', () => {
    const grower = sownTray({}, { room: { meanC: 12 } });
    expect(grower.bench.state().outputs.mat).toBe(true);
    grower.bench.fault('board-hung');
    grower.bench.run(5000);
    expect(grower.bench.state().outputs.mat).toBe(false);
    grower.bench.run(10_000);
    grower.bench.fault('board-hung', false);
    grower.bench.run(MINUTE_MS);
    expect(grower.bench.state().lastBoot?.cause).toBe('watchdog');
    expect(grower.bench.state().outputs.mat).toBe(true);
  });
});

describe('a mistake in the firmware that a request meets each time', () => {
  it('is written down once an hour, however often a laptop asks', () => {
    const firmware = (board: Board) =>
      createController(
        Object.assign(Object.create(board), {
          boardId: () => {
            throw new Error('a mistake');
          },
        }),
      );
    const grower = new Grower({ firmware });
    for (let s = 0; s < 2 * 3600; s++) {
      grower.bench.run(1000);
      expect(() => grower.call('controller.hello', {}, false)).toThrow(/The firmware failed/);
    }
    const faults = grower.journal().filter(({ kind }) => kind === 'fault');
    expect(faults.map(({ uptimeMs }) => uptimeMs)).toEqual([1000, 1000 + HOUR_MS]);
  });
});

describe('the states of an alarm', () => {
  const coldTray = () => sownTray({}, { room: { meanC: 24 } });

  it('latched: seen, gone, still held; only clearing in the absence of its cause frees the mat', () => {
    const grower = coldTray();
    const state = () => stateOfAlarm(grower, 'probe-open');
    grower.bench.fault('probe-open');
    grower.bench.run(10_000);
    expect(state()).toBe('unaccepted');
    grower.call('alarm.accept', { alarm: 'probe-open' });
    expect(state()).toBe('accepted');
    expect(() => grower.call('alarm.clear', { alarm: 'probe-open' })).toThrow(/still there/);
    expect(grower.status().heat.heldBy).toBe('probe-open');
    grower.bench.fault('probe-open', false);
    grower.bench.run(MINUTE_MS + 10_000);
    expect(state()).toBe('latched-accepted');
    expect(grower.status().heat.heldBy).toBe('probe-open');
    grower.call('alarm.clear', { alarm: 'probe-open' });
    grower.bench.run(1000);
    expect(state()).toBe('normal');
    expect(grower.status().heat.heldBy).toBe(null);
    expect(changesOf(grower, 'probe-open')).toEqual(['raised', 'accepted', 'returned', 'cleared']);
  });

  it('latched over a power cut, and judged anew: the cause may be there again', () => {
    const grower = coldTray();
    grower.bench.fault('probe-open', true, 30_000);
    grower.bench.run(MINUTE_MS);
    grower.bench.cutPower();
    grower.bench.run(MINUTE_MS);
    grower.bench.restorePower();
    grower.bench.run(MINUTE_MS);
    expect(stateOfAlarm(grower, 'probe-open')).toBe('latched-unaccepted');
    expect(grower.status().heat.heldBy).toBe('probe-open');
    grower.bench.fault('probe-open');
    grower.bench.run(MINUTE_MS);
    expect(stateOfAlarm(grower, 'probe-open')).toBe('unaccepted');
  });

  it('not latched: gone unseen it waits for a look, accepted it is over when its cause is', () => {
    const grower = coldTray();
    const state = () => stateOfAlarm(grower, 'scale-silent');
    grower.bench.fault('scale-unplugged', true, MINUTE_MS);
    grower.bench.run(5 * MINUTE_MS);
    expect(state()).toBe('returned');
    grower.call('alarm.accept', { alarm: 'scale-silent' });
    expect(state()).toBe('normal');
    grower.bench.fault('scale-unplugged', true, MINUTE_MS);
    grower.bench.run(30_000);
    grower.call('alarm.accept', { alarm: 'scale-silent' });
    grower.bench.run(5 * MINUTE_MS);
    expect(state()).toBe('normal');
  });

  it('shelved: quiet for its time and no longer; what it holds off stays off', () => {
    const grower = coldTray();
    const sounds = () => {
      let heard = false;
      for (let s = 0; s < 10; s++) {
        grower.bench.run(1000);
        heard ||= grower.bench.state().outputs.sounder;
      }
      return heard;
    };
    grower.bench.fault('probe-open');
    grower.bench.run(10_000);
    expect(sounds()).toBe(true);
    grower.call('alarm.shelve', { alarm: 'probe-open', forS: 3600 });
    expect(sounds()).toBe(false);
    grower.bench.run(HOUR_MS - MINUTE_MS);
    expect(sounds()).toBe(false);
    expect(grower.status().heat.heldBy).toBe('probe-open');
    expect(grower.bench.state().outputs.mat).toBe(false);
    grower.bench.run(MINUTE_MS);
    expect(sounds()).toBe(true);
    expect(changesOf(grower, 'probe-open')).toEqual(['raised', 'shelved', 'unshelved']);
    expect(() => grower.call('alarm.shelve', { alarm: 'probe-open', forS: 90_000 })).toThrow(
      /1 d at most/,
    );
  });

  it('what is not there can be neither accepted, shelved nor cleared', () => {
    const grower = coldTray();
    for (const method of ['alarm.accept', 'alarm.clear'] as const) {
      expect(() => grower.call(method, { alarm: 'probe-open' })).toThrow(/There is no alarm/);
    }
    expect(() => grower.call('alarm.shelve', { alarm: 'probe-open', forS: 60 })).toThrow(
      /There is no alarm/,
    );
  });
});
