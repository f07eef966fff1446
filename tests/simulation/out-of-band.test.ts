/** A root zone outside its band is said for the plants, whatever the cause. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower } from './grower';
import { changesOf, profileWith, sownTray, stateOfAlarm } from './scenes';

describe('a root zone outside its band', () => {
  it('is said as too warm where the room forbids the band, with the mat off and nothing latched', () => {
    const cool = { lowC: 16, highC: 18 };
    const grower = sownTray({ hold: { band: cool } }, { room: { meanC: 25 } });
    grower.bench.run(6 * HOUR_MS);
    expect(stateOfAlarm(grower, 'too-warm')).toBe('unaccepted');
    expect(grower.status().heat.heldBy).toBe(null);
    expect(changesOf(grower, 'mat-stuck-on')).toEqual([]);
  });

  it('is said as too warm though the power fails before two hours are over, and is the same alarm after it', () => {
    const grower = new Grower({ room: { meanC: 25 } });
    grower.commission(profileWith({ hold: { band: { lowC: 14, highC: 16 } } }));
    const { bench } = grower;
    const cut = () => {
      bench.cutPower();
      bench.run(MINUTE_MS);
      bench.restorePower();
    };
    bench.run(90 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'too-warm')).toBe('normal');
    cut();
    bench.run(65 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'too-warm')).toBe('unaccepted');
    grower.call('alarm.accept', { alarm: 'too-warm' });
    cut();
    bench.run(3 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'too-warm')).toBe('accepted');
  });

  it.each([25, 50])(
    'is said as too warm after two hours though the board starts anew each %i minutes',
    (min) => {
      const grower = new Grower({ room: { meanC: 24, swingK: 0, weatherK: 0 } });
      grower.commission(profileWith({ hold: { band: { lowC: 14, highC: 16 } } }));
      const { bench } = grower;
      let raisedMin = 0;
      while (stateOfAlarm(grower, 'too-warm') === 'normal' && raisedMin < 600) {
        bench.run(5 * MINUTE_MS);
        raisedMin += 5;
        if (raisedMin % min === 0) bench.reset('exception');
      }
      // Each start forgets what passed since the last checkpoint, a tick under five minutes.
      expect(raisedMin).toBeGreaterThanOrEqual(120);
      expect(raisedMin).toBeLessThanOrEqual(125 + 5 * Math.floor(120 / min));
    },
  );

  it('is said as too cold after a long power cut, and the status tells how long and how cold it was', () => {
    const grower = sownTray({}, { room: { meanC: 15 } });
    const { bench } = grower;
    const unixMs = 1_790_000_000_000;
    grower.call('clock.set', { unixMs });
    const beforeC = grower.status().heat.rootZoneC ?? 0;
    bench.cutPower();
    bench.run(6 * HOUR_MS);
    bench.restorePower();
    bench.run(MINUTE_MS);
    grower.call('clock.set', { unixMs: unixMs + 6 * HOUR_MS + MINUTE_MS });
    const { outage } = grower.status();
    expect(outage?.forS).toBeGreaterThan(5.9 * 3600);
    expect(outage?.forS).toBeLessThan(6.2 * 3600);
    expect(outage?.beforeC).toBeCloseTo(beforeC, 0);
    expect(outage?.afterC).toBeLessThan(beforeC - 3);
  });

  const UNIX_MS = 1_790_000_000_000;

  /** Warm until the power is cut for `cutMs` in a room of 15 C, then on again for three minutes. */
  function afterCut(cutMs: number): Grower {
    const grower = sownTray({}, { room: { meanC: 15 } });
    const { bench } = grower;
    grower.call('clock.set', { unixMs: UNIX_MS });
    expect(changesOf(grower, 'too-cold')).toEqual([]);
    bench.cutPower();
    bench.run(cutMs);
    bench.restorePower();
    bench.run(3 * MINUTE_MS);
    return grower;
  }

  it('is said as too cold minutes after a day without power, until it is back', () => {
    const grower = afterCut(DAY_MS);
    expect(stateOfAlarm(grower, 'too-cold')).toBe('unaccepted');
    grower.bench.run(20 * HOUR_MS);
    expect(stateOfAlarm(grower, 'too-cold')).toBe('returned');
    expect(changesOf(grower, 'too-cold').filter((change) => change === 'raised').length).toBe(1);
  });

  it('says nothing of a power cut of a quarter of an hour', () => {
    const grower = afterCut(15 * MINUTE_MS);
    grower.call('clock.set', { unixMs: UNIX_MS + 18 * MINUTE_MS });
    grower.bench.run(HOUR_MS);
    expect(changesOf(grower, 'too-cold')).toEqual([]);
  });

  it('is said within the hour where a cold room will not let the mat reach it', () => {
    const grower = sownTray({}, { room: { meanC: 12 } });
    const { bench } = grower;
    bench.hand.setLid('off');
    bench.run(90 * MINUTE_MS);
    const said = ['too-cold', 'band-out-of-reach'].filter((a) => changesOf(grower, a).length > 0);
    expect(said).not.toEqual([]);
  });

  /** A room that stays as it is. */
  const evenly = (meanC: number) => ({ room: { meanC, swingK: 0, weatherK: 0 } });

  it('by more than 2 K above it is said after two hours, and not before', () => {
    const grower = sownTray({ feed: { band: { lowC: 16, highC: 21 } } }, evenly(24));
    grower.call('stage.next', {});
    // Hardly cooler hour by hour: it does not come back by itself.
    grower.bench.run(1.9 * HOUR_MS);
    expect(grower.status().heat.rootZoneC).toBeGreaterThan(23);
    expect(stateOfAlarm(grower, 'too-warm')).toBe('normal');
    grower.bench.run(0.2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'too-warm')).toBe('unaccepted');
  });

  /** A dead mat under a tray that should be 3 K warmer than this room lets it be, for so long. */
  function coldFor(ms: number): Grower {
    const grower = sownTray({ feed: { band: { lowC: 27.5, highC: 28 } } }, evenly(24));
    grower.bench.fault('mat-dead');
    grower.bench.run(DAY_MS);
    grower.call('stage.next', {});
    grower.bench.run(ms);
    const { rootZoneC, lowC } = grower.status().heat;
    expect((lowC ?? 0) - (rootZoneC ?? 0)).toBeGreaterThan(2.5);
    expect((lowC ?? 0) - (rootZoneC ?? 0)).toBeLessThan(3.5);
    return grower;
  }

  it('by more than 2 K below it is said after an hour, and not before', () => {
    const grower = coldFor(0.9 * HOUR_MS);
    expect(stateOfAlarm(grower, 'too-cold')).toBe('normal');
    grower.bench.run(0.2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'too-cold')).toBe('unaccepted');
  });

  it('is so still when the tray comes back that was taken away for two hours', () => {
    const grower = coldFor(1.5 * HOUR_MS);
    grower.bench.hand.takeTray();
    grower.bench.run(2 * HOUR_MS);
    grower.bench.hand.putTray();
    grower.bench.run(15 * MINUTE_MS);
    expect(changesOf(grower, 'too-cold')).toEqual(['raised']);
    expect(stateOfAlarm(grower, 'too-cold')).toBe('unaccepted');
  });

  it('is said as too warm of a tray that hands hold up for an hour and a half in between', () => {
    const grower = new Grower(evenly(20));
    grower.commission(profileWith({ hold: { band: { lowC: 15, highC: 15.5 } } }));
    const { bench } = grower;
    bench.run(90 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'too-warm')).toBe('normal');
    bench.hand.liftTray(87 * MINUTE_MS);
    bench.run((87 + 65) * MINUTE_MS);
    expect(stateOfAlarm(grower, 'too-warm')).toBe('unaccepted');
  });

  it('is not said of a tray that was where it should be, was warmed beside its scale, and cools on it', () => {
    const grower = sownTray({ hold: { band: { lowC: 18, highC: 22 } } }, evenly(20));
    const { bench } = grower;
    bench.hand.takeTray();
    bench.run(3 * HOUR_MS);
    bench.rig.plant.addWater(4_000, 45);
    bench.hand.putTray();
    bench.run(3 * HOUR_MS);
    expect(grower.status().heat.rootZoneC).toBeGreaterThan(24.5);
    bench.run(6 * HOUR_MS);
    expect(changesOf(grower, 'too-warm')).toEqual([]);
  });
});
