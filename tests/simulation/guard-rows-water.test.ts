/** What the guard finds of the water: the caps, the reservoir, and what dosing needs. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower } from './grower';
import {
  changesOf,
  doses,
  profileWith,
  runToDose,
  sownTray,
  stateOfAlarm,
  wateredTray,
} from './scenes';

describe('caps', () => {
  it('the stage cap: doses stop below it for good, and the alarm goes with the stage', () => {
    const caps = { maxDayMl: 100, maxStageMl: 100 };
    const grower = wateredTray({ watering: caps });
    grower.bench.run(4 * DAY_MS);
    expect(grower.alarms()).toContain('stage-cap-reached');
    expect(grower.status().water.heldBy).toBe('stage-cap-reached');
    const { stageMl } = grower.status().water;
    expect(stageMl).toBeGreaterThan(60);
    expect(stageMl).toBeLessThanOrEqual(100);
    grower.bench.run(2 * DAY_MS);
    expect(grower.status().water.stageMl).toBe(stageMl);
    grower.call('mark.set', { mark: 'sown' });
    grower.bench.run(2 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'stage-cap-reached')).toBe('returned');
  });

  it('a power cut takes nothing off the account', () => {
    const grower = wateredTray();
    runToDose(grower);
    grower.bench.run(5000);
    const { dayMl, stageMl } = grower.status().water;
    expect(stageMl).toBeGreaterThan(0);
    grower.bench.cutPower();
    grower.bench.run(MINUTE_MS);
    grower.bench.restorePower();
    grower.bench.run(MINUTE_MS);
    grower.connect();
    expect(grower.status().water.dayMl).toBeGreaterThanOrEqual(dayMl);
    expect(grower.status().water.stageMl).toBeGreaterThanOrEqual(stageMl);
    expect(doses(grower)[0]?.verdict).toBe('cut');
  });
});

describe('the reservoir', () => {
  it('nearly empty by account: told while water is still left, and taken back when refilled', () => {
    const grower = wateredTray({ profile: { reservoirMl: 200 } });
    grower.call('mark.set', { mark: 'refilled' });
    const low = () => grower.alarms().includes('reservoir-low');
    for (let minute = 0; minute < 4 * 24 * 60 && !low(); minute++) grower.bench.run(MINUTE_MS);
    expect(low()).toBe(true);
    expect(grower.status().water.reservoirLeftMl).toBeGreaterThan(0);
    expect(grower.status().water.heldBy).toBe(null);
    grower.call('mark.set', { mark: 'refilled' });
    grower.bench.run(2 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'reservoir-low')).toBe('returned');
    expect(grower.status().water.reservoirLeftMl).toBe(200);
  });
});

describe('too dry in a hold', () => {
  it('raises the alarm and gives no water where the profile allows none', () => {
    const grower = sownTray({ hold: { rescue: { share: 0.05, doseMl: 0 } } });
    grower.bench.hand.setLid('off');
    grower.bench.run(2 * DAY_MS);
    expect(grower.alarms()).toContain('too-dry');
    expect(doses(grower)).toEqual([]);
  });

  it('gives one rescue dose where it does, never a second, and none without the alarm', () => {
    const grower = sownTray({ hold: { rescue: { share: 0.05, doseMl: 30 } } });
    grower.bench.hand.setLid('off');
    runToDose(grower);
    expect(grower.alarms()).toContain('too-dry');
    grower.bench.run(2 * DAY_MS);
    const given = doses(grower);
    expect(given.map(({ reason, verdict }) => [reason, verdict])).toEqual([['rescue', 'seen']]);
    expect(grower.status().water.stageMl).toBe(30);
  });

  it('a power cut in the rescue dose does not bring another', () => {
    const grower = sownTray({ hold: { rescue: { share: 0.05, doseMl: 30 } } });
    grower.bench.hand.setLid('off');
    runToDose(grower);
    grower.bench.cutPower();
    grower.bench.run(MINUTE_MS);
    grower.bench.restorePower();
    grower.bench.run(2 * DAY_MS);
    grower.connect();
    expect(doses(grower).map(({ reason, verdict }) => [reason, verdict])).toEqual([
      ['rescue', 'cut'],
    ]);
  });

  it('goes when the grower has soaked the tray', () => {
    const grower = sownTray({ hold: { rescue: { share: 0.05, doseMl: 0 } } });
    grower.bench.hand.setLid('off');
    grower.bench.run(2 * DAY_MS);
    grower.bench.hand.soak();
    grower.bench.run(30 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    grower.bench.run(5 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'too-dry')).toBe('returned');
  });
});

describe('calibrations', () => {
  const DRY_SCALE = { hold: { end: { afterS: 3600, mark: null } } } as const;

  it('a stage that waters without a pump calibration says so, and gives none', () => {
    const grower = new Grower();
    grower.calibrateScale();
    grower.load(profileWith(DRY_SCALE));
    grower.bench.hand.soak();
    grower.bench.run(30 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    grower.call('mark.set', { mark: 'sown' });
    grower.bench.run(30 * MINUTE_MS);
    expect(grower.alarms()).not.toContain('calibration-missing');
    grower.bench.run(2 * HOUR_MS);
    expect(grower.alarms()).toContain('calibration-missing');
    grower.bench.hand.setLid('off');
    grower.bench.run(3 * DAY_MS);
    expect(grower.bench.state().pump.ranS).toBe(0);
    grower.call('pump.calibrate', { mlPerS: 1, cvPercent: 1 });
    grower.bench.run(2 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'calibration-missing')).toBe('returned');
  });

  it('blocks whose capacity nobody has marked get no water until they are marked soaked', () => {
    const grower = wateredTray();
    grower.call('mark.set', { mark: 'transplanted' });
    grower.bench.run(5 * MINUTE_MS);
    expect(grower.status().water.heldBy).toBe('capacity-unknown');
    // Blocks drain before they are marked: only then is the mark missed.
    expect(grower.alarms()).not.toContain('calibration-missing');
    grower.bench.run(2 * HOUR_MS);
    expect(grower.alarms()).toContain('calibration-missing');
    grower.bench.hand.transplant();
    grower.bench.run(30 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    grower.bench.run(2 * MINUTE_MS);
    expect(grower.status().water.heldBy).toBe('transplant-hold');
  });

  it('an old scale calibration is a notice that holds nothing off; a pump is weighed by its doses', () => {
    const grower = new Grower();
    grower.call('clock.set', { unixMs: grower.bench.unixMs });
    grower.commission(profileWith());
    grower.bench.run(20 * HOUR_MS);
    expect(grower.alarms()).not.toContain('calibration-old');
    grower.call('clock.set', { unixMs: grower.bench.unixMs + 31 * DAY_MS });
    grower.bench.run(2 * MINUTE_MS);
    expect(grower.alarms()).not.toContain('calibration-old');
    grower.call('clock.set', { unixMs: grower.bench.unixMs + 181 * DAY_MS });
    grower.bench.run(2 * MINUTE_MS);
    expect(grower.alarms()).toContain('calibration-old');
    expect(grower.status().water.heldBy).toBe('hold');
    const [inUse] = grower.call('scale.history', {}, false).calibrations;
    if (inUse === undefined) throw new Error('not calibrated');
    grower.call('scale.calibrate', inUse);
    grower.bench.run(2 * MINUTE_MS);
    expect(changesOf(grower, 'calibration-old')).toEqual(['raised', 'returned']);
  });
});

describe('quiet hours', () => {
  // 18:00 to 08:00: the bench's day begins at 08:00.
  const quiet = { startMin: 18 * 60, endMin: 8 * 60 };
  const hoursOfDoses = (clock: boolean) => {
    const grower = new Grower();
    const startMs = grower.bench.unixMs;
    if (clock) grower.call('clock.set', { unixMs: startMs });
    grower.commission(profileWith({ profile: { quiet } }));
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.hand.setLid('off');
    grower.bench.run(5 * DAY_MS);
    return doses(grower).map(({ uptimeMs, ranMs }) => {
      return new Date(startMs + uptimeMs - ranMs).getUTCHours();
    });
  };

  it('see no dose start while the time of day is known', () => {
    const hours = hoursOfDoses(true);
    expect(hours.length).toBeGreaterThan(3);
    for (const hour of hours) expect(hour >= 8 && hour < 18).toBe(true);
  });

  it('are not kept while it is unknown: plants come before silence', () => {
    expect(hoursOfDoses(false).some((hour) => hour < 8 || hour >= 18)).toBe(true);
  });
});
