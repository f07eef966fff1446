/** What proved doses tell of the pump: a worn tube, air in it, and nothing by the calendar. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower } from './grower';
import { doses, runToDose, sownTray, stateOfAlarm, wateredTray } from './scenes';

/** Its tube is filled, so that the first dose is a whole one. */
function primedTray(): Grower {
  const grower = wateredTray();
  grower.call('pump.run', { ms: 12_000, reason: 'prime' });
  grower.bench.run(MINUTE_MS);
  return grower;
}

/** Runs on to the next dose and until it is proved. */
function runThroughDose(grower: Grower): void {
  const before = doses(grower).length;
  runToDose(grower);
  for (let minute = 0; minute < 30 && doses(grower).length === before; minute++) {
    grower.bench.run(MINUTE_MS);
  }
  expect(doses(grower).length).toBe(before + 1);
}

describe('what the pump gives by its proved doses', () => {
  it('is moved by no single dose by more than a twentieth, far off as it may have been', () => {
    const grower = primedTray();
    const { mlPerS } = grower.bench.rig.plant.parameters.pump;
    grower.call('pump.calibrate', { mlPerS: mlPerS / 0.75, cvPercent: 1 });
    for (let dose = 0; dose < 4; dose++) {
      const before = grower.status().water.pumpShare;
      runThroughDose(grower);
      const moved = 1 - grower.status().water.pumpShare / before;
      expect(moved).toBeGreaterThan(0.02);
      // What the link tells is rounded to thousandths.
      expect(moved).toBeLessThan(0.05 + 0.001);
    }
  });

  it('is not learnt from doses of a tray that a cloth draws dry, for that may have ended as they came', () => {
    const grower = wateredTray({ watering: { doseMl: 160 } });
    const { bench } = grower;
    runThroughDose(grower);
    bench.run(2 * HOUR_MS);
    bench.fault('wick', true);
    bench.run(HOUR_MS);
    grower.call('alarm.clear', { alarm: 'weight-falling' });
    runToDose(grower);
    bench.run(2 * MINUTE_MS);
    bench.fault('wick', false);
    bench.run(2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'dose-not-seen')).toBe('normal');
    expect(Math.abs(grower.status().water.pumpShare - 1)).toBeLessThan(0.02);
  });

  it('is not learnt from a dose of which some ran off a full tray', () => {
    const opening = { byS: 0, stopShare: 0.01 };
    const grower = sownTray({ watering: { doseMl: 160 }, feed: { opening } });
    grower.call('mark.set', { mark: 'emerged' });
    runThroughDose(grower);
    const [dose] = doses(grower).slice(-1);
    expect(dose?.verdict).toBe('seen');
    expect(grower.status().water.pumpShare).toBe(1);
  });

  it('scatters where air is in the tube: that is told, though on the whole it gives what it should', () => {
    const grower = primedTray();
    const { wrong } = grower.bench.rig.faults;
    for (let dose = 0; dose < 3; dose++) {
      expect(stateOfAlarm(grower, 'pump-off')).toBe('normal');
      // Bubbles: a dose brings far too little, the next one what had been held up as well.
      wrong.flowShare = dose % 2 === 0 ? 0.72 : 1.15;
      runThroughDose(grower);
    }
    grower.bench.run(2 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'pump-off')).toBe('unaccepted');
    expect(Math.abs(grower.status().water.pumpShare - 1)).toBeLessThan(0.15);
    expect(
      new Set(
        doses(grower)
          .slice(1)
          .map(({ verdict }) => verdict),
      ),
    ).toEqual(new Set(['seen']));
  });
});

describe('a pump that was calibrated a month ago', () => {
  it('is asked to be calibrated by no calendar', () => {
    const grower = new Grower();
    const { bench } = grower;
    grower.call('clock.set', { unixMs: bench.unixMs });
    grower.commission();
    // Put away between two crops.
    bench.cutPower();
    bench.run(40 * DAY_MS);
    bench.restorePower();
    bench.run(MINUTE_MS);
    grower.connect();
    grower.call('clock.set', { unixMs: bench.unixMs });
    bench.run(2 * MINUTE_MS);
    const { calibration } = grower.call('pump.state', {}, false);
    expect(bench.unixMs - (calibration?.unixMs ?? Number.NaN)).toBeGreaterThan(39 * DAY_MS);
    expect(stateOfAlarm(grower, 'calibration-old')).toBe('normal');
  });
});
