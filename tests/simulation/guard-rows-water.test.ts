/** What the guard finds of the water: the scale, the doses, the caps, the reservoir, and what dosing needs. */
import { describe, expect, it } from 'vitest';
import { Random } from '../../firmware/bench/random';
import { DAY_MS, Grower, HOUR_MS, MINUTE_MS } from './grower';
import {
  changesOf,
  doses,
  profileWith,
  runToDose,
  sownTray,
  stateOfAlarm,
  wateredTray,
} from './scenes';

/** From now on each code is off by so many grams rms more: a fan, a loose platform. */
function tremble(grower: Grower, noiseG: number): void {
  const { rig } = grower.bench;
  const random = new Random(7);
  const read = rig.scaleCode.bind(rig);
  rig.scaleCode = () => read() + random.normal() * noiseG * rig.plant.cell.countsPerG;
}

/** From now on its platform is held where it is; the converter still has its noise. */
function stick(grower: Grower): void {
  const { rig } = grower.bench;
  const random = new Random(7);
  const read = rig.scaleCode.bind(rig);
  let heldCode = Number.NaN;
  rig.scaleCode = () => {
    const code = read();
    if (Number.isNaN(heldCode)) heldCode = code;
    return heldCode + random.normal() * 0.1 * rig.plant.cell.countsPerG;
  };
}

describe('a scale that trembles', () => {
  it('a little, is waited for: the tray is watered as ever', () => {
    const grower = wateredTray();
    tremble(grower, 1);
    grower.bench.run(3 * DAY_MS);
    expect(doses(grower).length).toBeGreaterThan(5);
    expect(new Set(doses(grower).map(({ verdict }) => verdict))).toEqual(new Set(['seen']));
    expect(grower.alarms()).toEqual([]);
  });

  it('so that no dose can be weighed, says so long before the tray is dry', () => {
    for (const noiseG of [1.5, 2, 3]) {
      const grower = wateredTray();
      tremble(grower, noiseG);
      const told = () => grower.alarms().includes('scale-noisy');
      expect(grower.bench.runUntil(told, 2 * HOUR_MS), `${noiseG} g`).toBe(true);
    }
  });

  it('is noticed within a quarter of an hour, holds doses off, and is forgiven when it is still', () => {
    const grower = sownTray();
    grower.bench.fault('scale-noisy');
    grower.bench.run(15 * MINUTE_MS);
    expect(grower.alarms()).toContain('scale-noisy');
    expect(grower.status().water.heldBy).toBe('scale-noisy');
    grower.bench.fault('scale-noisy', false);
    grower.bench.run(15 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'scale-noisy')).toBe('returned');
    expect(grower.status().water.heldBy).toBe('hold');
  });

  it('gets no dose, however dry the tray becomes', () => {
    const grower = wateredTray();
    grower.bench.fault('scale-noisy');
    grower.bench.run(3 * DAY_MS);
    expect(doses(grower)).toEqual([]);
  });
});

describe('doses that do not come out as they should', () => {
  it('too large: water runs after the pump has stopped; latched, no further dose until cleared', () => {
    const grower = wateredTray();
    runToDose(grower);
    grower.bench.fault('siphon', true, 5 * MINUTE_MS);
    grower.bench.run(12 * MINUTE_MS);
    expect(grower.alarms()).toContain('dose-too-large');
    grower.bench.run(3 * DAY_MS);
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['too-large']);
    expect(grower.status().water.heldBy).toBe('dose-too-large');
    grower.call('alarm.clear', { alarm: 'dose-too-large' });
    grower.bench.run(HOUR_MS);
    expect(doses(grower)[1]?.verdict).toBe('seen');
  });

  it('two that handling kept from being weighed call a person, a stopped one between them or not', () => {
    const grower = wateredTray();
    const nextDose = () => {
      runToDose(grower);
      grower.bench.run(3000);
    };
    const disturb = () => {
      nextDose();
      grower.bench.hand.takeTray();
      grower.bench.run(MINUTE_MS);
      grower.bench.hand.putTray();
      grower.bench.run(MINUTE_MS);
    };
    disturb();
    nextDose();
    grower.call('pump.stop', {});
    expect(grower.alarms()).toEqual([]);
    disturb();
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['handled', 'stopped', 'handled']);
    expect(grower.status().water.heldBy).toBe('dose-not-seen');
  });

  it('two that power cuts kept from being weighed call a person as well, and no third is given', () => {
    const grower = wateredTray();
    grower.bench.fault('tube-off');
    for (let cut = 0; cut < 2; cut++) {
      expect(grower.alarms()).toEqual([]);
      runToDose(grower);
      grower.bench.run(MINUTE_MS);
      grower.bench.cutPower();
      grower.bench.run(MINUTE_MS);
      grower.bench.restorePower();
      grower.bench.run(MINUTE_MS);
      grower.connect();
    }
    expect(grower.alarms()).toEqual(['dose-not-seen']);
    const { ranS } = grower.bench.state().pump;
    grower.bench.run(2 * DAY_MS);
    expect(grower.bench.state().pump.ranS).toBe(ranS);
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['cut', 'cut']);
  });

  it('one that a hand kept from being weighed is remembered over a power cut', () => {
    const grower = wateredTray();
    runToDose(grower);
    grower.bench.run(3000);
    grower.bench.hand.takeTray();
    grower.bench.run(MINUTE_MS);
    grower.bench.hand.putTray();
    grower.bench.run(MINUTE_MS);
    runToDose(grower);
    grower.bench.cutPower();
    grower.bench.run(MINUTE_MS);
    grower.bench.restorePower();
    grower.bench.run(MINUTE_MS);
    grower.connect();
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['handled', 'cut']);
    expect(grower.alarms()).toEqual(['dose-not-seen']);
  });

  it('a scale that fails whenever the pump runs gets two doses, not all that the day allows', () => {
    const grower = wateredTray();
    for (let dose = 0; dose < 2; dose++) {
      expect(grower.alarms()).not.toContain('dose-not-seen');
      runToDose(grower);
      grower.bench.run(2000);
      grower.bench.fault('scale-saturated', true, MINUTE_MS);
      grower.bench.run(2 * MINUTE_MS);
    }
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['stopped', 'stopped']);
    expect(grower.alarms()).toContain('dose-not-seen');
  });

  it('a worn tube that gives half is a dose not seen', () => {
    const grower = wateredTray();
    grower.bench.fault('tube-worn');
    runToDose(grower);
    grower.bench.run(12 * MINUTE_MS);
    expect(grower.alarms()).toContain('dose-not-seen');
    expect(grower.status().water.heldBy).toBe('dose-not-seen');
  });

  it('a tube that gives 80 % is told while its doses are still seen, and watering goes on', () => {
    const grower = wateredTray();
    const { mlPerS } = grower.bench.rig.plant.parameters.pump;
    grower.call('pump.run', { ms: 12_000, reason: 'prime' });
    grower.bench.run(MINUTE_MS);
    grower.call('pump.calibrate', { mlPerS: mlPerS / 0.8, cvPercent: 1 });
    grower.bench.run(3 * DAY_MS);
    expect(stateOfAlarm(grower, 'pump-off')).toBe('unaccepted');
    const given = doses(grower).filter(({ reason }) => reason !== 'prime');
    expect(new Set(given.map(({ verdict }) => verdict))).toEqual(new Set(['seen']));
    const { heldBy, pumpShare, pumpScatter } = grower.status().water;
    expect(heldBy).toBe(null);
    expect(Math.abs(pumpShare - 0.8)).toBeLessThan(0.04);
    expect(pumpScatter).toBeLessThan(0.1);
  });
});

describe('a scale that no longer moves under a tray that dries', () => {
  it('is told within a day', () => {
    const grower = wateredTray({ watering: { startShare: 0.4, stopShare: 0.3 } });
    const { bench } = grower;
    bench.run(1.5 * DAY_MS);
    expect(changesOf(grower, 'drying-stopped')).toEqual([]);
    stick(grower);
    bench.run(20 * HOUR_MS);
    expect(stateOfAlarm(grower, 'drying-stopped')).toBe('unaccepted');
  });
});

describe('a tray that dries while its doses soak in', () => {
  /** Small doses that soak in for an hour under a propped lid: what dries meanwhile is half of one. */
  const dryingTray = () => {
    const small = { doseMl: 10, soakInS: 3600, startShare: 0.1, stopShare: 0.08 };
    const grower = wateredTray({ watering: small }, { room: { meanC: 26 } });
    grower.bench.hand.setLid('propped');
    grower.call('pump.run', { ms: 12_000, reason: 'prime' });
    grower.bench.run(6 * HOUR_MS);
    return grower;
  };
  const given = (grower: Grower) => doses(grower).filter(({ reason }) => reason !== 'prime');

  it('has them proved all the same', () => {
    const grower = dryingTray();
    grower.bench.run(6 * DAY_MS);
    const all = given(grower);
    expect(all.length).toBeGreaterThan(20);
    expect(Math.min(...all.map(({ gainedG }) => gainedG))).toBeLessThan(7);
    expect(new Set(all.map(({ verdict }) => verdict))).toEqual(new Set(['seen']));
  });

  it('has none proved that did not arrive', () => {
    const grower = dryingTray();
    grower.bench.fault('reservoir-empty');
    grower.bench.run(6 * DAY_MS);
    expect(given(grower).map(({ verdict }) => verdict)).toEqual(['not-seen']);
  });

  it('gets no last dose so small that the scale could not tell it from nothing', () => {
    for (const doseMl of [40, 50]) {
      const grower = wateredTray({ watering: { doseMl } });
      grower.bench.run(4 * DAY_MS);
      const plannedMl = given(grower).map((dose) => dose.plannedMl);
      expect(plannedMl.length).toBeGreaterThan(4);
      expect(Math.min(...plannedMl)).toBeGreaterThanOrEqual(doseMl / 2);
    }
  });
});

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

describe('a pump that has run as long as it may in an hour', () => {
  it('if slow, goes on in the next hour, and no dose passes for one that was not seen', () => {
    const grower = wateredTray(
      { watering: { startShare: 0.08, stopShare: 0.02 } },
      { pump: { mlPerS: 0.15 } },
    );
    runToDose(grower);
    const waits = () => grower.status().water.heldBy === 'pump-hour';
    expect(grower.bench.runUntil(waits, 2 * HOUR_MS)).toBe(true);
    const before = grower.bench.state().pump.ranS;
    grower.bench.run(5 * HOUR_MS);
    expect(grower.bench.state().pump.ranS).toBeGreaterThan(before + 600);
    expect(new Set(doses(grower).map(({ verdict }) => verdict))).toEqual(
      new Set(['seen', 'stopped']),
    );
    expect(grower.alarms()).toEqual([]);
  });

  it('if too slow for a single dose, calls a person at the second', () => {
    const grower = wateredTray({}, { pump: { mlPerS: 0.05 } });
    grower.bench.runUntil(() => grower.alarms().length > 0, 4 * DAY_MS);
    expect(grower.alarms()).toEqual(['dose-not-seen']);
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['stopped', 'stopped']);
  });

  it('stops a run by hand as well, so that no calibration counts time that it stood still', () => {
    const grower = sownTray();
    const runs = Array.from({ length: 6 }, () => {
      grower.call('pump.run', { ms: 120_000, reason: 'calibrate' });
      grower.bench.run(125_000);
      return grower.call('pump.state', {}, false).ranMs;
    });
    expect(runs.slice(0, 5)).toEqual([120_000, 120_000, 120_000, 120_000, 120_000]);
    expect(runs[5]).toBeLessThan(2_000);
  });
});

describe('the reservoir', () => {
  it('nearly empty by account: told while water is still left, and taken back when refilled', () => {
    const grower = wateredTray({ profile: { reservoirMl: 200 } });
    grower.call('mark.set', { mark: 'refilled' });
    const low = () => grower.alarms().includes('reservoir-low');
    expect(grower.bench.runUntil(low, 4 * DAY_MS)).toBe(true);
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
    grower.bench.run(HOUR_MS);
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
    expect(grower.alarms()).toContain('calibration-missing');
    expect(grower.status().water.heldBy).toBe('calibration-missing');
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
