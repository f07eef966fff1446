/** An update of the firmware under a running tray: the flash was written by an older one. */
import { describe, expect, it } from 'vitest';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { doses, profileWith } from './scenes';
import {
  CHECKPOINT_S,
  flashOf,
  lostIn,
  type Past,
  RESTARTED_MS,
  updatedTray,
} from './updated-tray';

/** What the older firmware said of the tray just before its supply was cut. */
const BEFORE = {
  stageRunS: 114_446,
  trayG: 4505.6,
  capacityG: 4596.4,
  dryG: 535.8,
  dayMl: 160,
  stageMl: 240,
  reservoirLeftMl: 4_760,
  profileId: 354_654_319,
} as const;
const FIRST: Past = {
  flash: flashOf('running-tray-first-layout'),
  parts: { seed: 38 },
  trayG: BEFORE.trayG,
};

/** The same of the one whose checkpoint ended before what holds water off, the age of the feed, and hands. */
const HEADED_BEFORE = {
  bootUnixMs: 1_772_507_960_000,
  stageRunS: 81_000,
  capacityG: 4595.4,
  dryG: 535.8,
  dryBackShare: 0.022,
  grownG: 11.1,
  dayMl: 246,
  /** Six doses, so no more hours than that. */
  hoursWatered: 6,
  stageMl: 246,
  reservoirLeftMl: 4_760,
  reservoirEc: 0.8,
  pumpShare: 0.982,
  plantsMl: 240,
  plantsSaltsMg: 122.9,
  eachMl: 2.4,
  openAgeS: 26_997,
  openEndedS: 25_141,
  coldAgeS: 12_260,
} as const;
const HEADED: Past = {
  flash: flashOf('running-tray-headed-layout'),
  parts: { seed: 39 },
  trayG: 4515.1,
};

/** What had come out of its calibrations: of the scale with 2 kg on a cell of 10 kg, of both probes at the same time. */
function expectCalibrated(
  grower: Grower,
  found: Readonly<Record<'zeroCode' | 'countsPerG' | 'offsetK' | 'matOffsetK' | 'mlPerS', number>>,
): void {
  const { zeroCode, countsPerG, offsetK, matOffsetK, mlPerS } = found;
  expect(grower.call('scale.history', {}, false).calibrations).toEqual([
    {
      ...{ zeroCode, countsPerG, massG: 2000, cellG: 10_000 },
      ...{ uncertaintyG: 0.2, zeroCodePerK: 0, atC: 20, unixMs: 0 },
    },
  ]);
  const unixMs = 1_772_426_960_000;
  expect(grower.call('probe.read', {}, false)).toMatchObject({
    calibration: { offsetK, unixMs },
    matCalibration: { offsetK: matOffsetK, unixMs },
  });
  const pump = { mlPerS, cvPercent: 1, unixMs: 0 };
  expect(grower.call('pump.state', {}, false).calibration).toEqual(pump);
}

describe('an update of a running tray from the first layout', () => {
  it('goes on in the same stage of the same profile, with no more than a checkpoint lost', () => {
    const { profile, stage } = updatedTray(FIRST).status();
    const { title, crop } = profileWith();
    expect(profile).toEqual({ id: BEFORE.profileId, title, crop, stages: 2 });
    expect(stage).toMatchObject({ index: 1, name: 'first feed', kind: 'weigh', staying: false });
    expect(stage?.runS).toBeGreaterThanOrEqual(BEFORE.stageRunS - CHECKPOINT_S);
    expect(stage?.runS).toBeLessThanOrEqual(BEFORE.stageRunS + RESTARTED_MS / 1000);
  });

  it('knows the weights, and takes the tray that stands there for the one it left', () => {
    const { water } = updatedTray(FIRST).status();
    const { capacityG, dryG } = BEFORE;
    expect(water).toMatchObject({ capacityG, dryG, scale: 'ok' });
    // With shift and settled weight as they were, the same weight is the same dry-back.
    expect(water.dryBackShare).toBeCloseTo((capacityG - BEFORE.trayG) / (capacityG - dryG), 3);
  });

  it('has every millilitre in the account: day, stage and reservoir', () => {
    const { dayMl, stageMl, reservoirLeftMl } = BEFORE;
    expect(updatedTray(FIRST).status().water).toMatchObject({ dayMl, stageMl, reservoirLeftMl });
  });

  it('reads every calibration of the layout without a head', () => {
    const grower = updatedTray(FIRST);
    expectCalibrated(grower, {
      ...{ zeroCode: 167896.85, countsPerG: 217.8007 },
      ...{ offsetK: 0.12, matOffsetK: -0.2, mlPerS: 1.0485142862424255 },
    });
    // Nothing was ever told of its probes: they are the reference one.
    const curves = { rootZoneCurve: 'reference', matCurve: 'reference' };
    expect(grower.call('probe.read', {}, false)).toMatchObject(curves);
  });

  it('still holds the mat off for the latched alarm that was accepted, until it is cleared', () => {
    const grower = updatedTray(FIRST);
    const { alarms, heat } = grower.status();
    expect(alarms).toMatchObject([{ alarm: 'mat-probe-failed', state: 'latched-accepted' }]);
    // That firmware kept neither when nor by what value: "at least since the start" is all there is to say.
    expect(alarms).toMatchObject([{ atLeast: true, endedS: null, value: null }]);
    expect(heat).toMatchObject({ on: false, heldBy: 'mat-probe-failed' });
    grower.call('alarm.clear', { alarm: 'mat-probe-failed' });
    grower.bench.run(RESTARTED_MS);
    expect(grower.status().heat).toMatchObject({ on: true, heldBy: null });
  });

  it('waters on: the next dose is seen by the scale and counts on top of the others', () => {
    const grower = updatedTray(FIRST);
    for (let h = 0; h < 72 && doses(grower).length === 0; h++) grower.bench.run(HOUR_MS);
    const given = doses(grower);
    expect(given[0]).toMatchObject({ reason: 'dry-back', verdict: 'seen', stage: 1 });
    const givenMl = given.reduce((sum, { plannedMl }) => sum + plannedMl, 0);
    // A dose counts by the pump's calibration too, where that says more than the doses have shown.
    const countedMl = grower.status().water.stageMl - BEFORE.stageMl;
    expect(countedMl).toBeGreaterThanOrEqual(givenMl - 0.5);
    expect(countedMl).toBeLessThanOrEqual(1.05 * givenMl);
  });

  it('is the second start of that board, and nothing of its run was lost', () => {
    const entries = updatedTray(FIRST).journal();
    expect(entries[0]).toMatchObject({ kind: 'boot', boot: 2, profileId: BEFORE.profileId });
    expect(lostIn(entries)).toEqual([]);
  });
});

describe('an update of a running tray from the layout with heads and a record of alarms', () => {
  it('goes on in the same stage, with no more than a checkpoint lost', () => {
    const { stage } = updatedTray(HEADED).status();
    expect(stage).toMatchObject({ index: 1, name: 'first feed', kind: 'weigh', staying: false });
    expect(stage?.runS).toBeGreaterThanOrEqual(HEADED_BEFORE.stageRunS - CHECKPOINT_S);
    expect(stage?.runS).toBeLessThanOrEqual(HEADED_BEFORE.stageRunS + RESTARTED_MS / 1000);
  });

  it('reads every calibration by its head', () => {
    const grower = updatedTray(HEADED);
    expectCalibrated(grower, {
      ...{ zeroCode: 280_025.15, countsPerG: 215.48194999999996 },
      ...{ offsetK: 0.15, matOffsetK: -0.25, mlPerS: 0.9564403963275254 },
    });
  });

  it('knows the weights, the growth, and each millilitre and salt that was given', () => {
    const { water } = updatedTray(HEADED).status();
    const { capacityG, dryG, grownG, dayMl, stageMl, reservoirLeftMl, reservoirEc } = HEADED_BEFORE;
    const { pumpShare, plantsMl, plantsSaltsMg, eachMl, dryBackShare } = HEADED_BEFORE;
    expect(water).toMatchObject({ capacityG, dryG, grownG, scale: 'ok' });
    expect(water).toMatchObject({ stageMl, reservoirLeftMl, reservoirEc });
    // A checkpoint rounds each hour of the day up.
    expect(water.dayMl).toBeGreaterThanOrEqual(dayMl);
    expect(water.dayMl).toBeLessThanOrEqual(dayMl + HEADED_BEFORE.hoursWatered);
    expect(water).toMatchObject({ pumpShare, plantsMl, plantsSaltsMg, eachMl });
    expect(water.dryBackShare).toBeCloseTo(dryBackShare, 3);
  });

  it('holds the mat off for the alarm that nobody has seen, and tells since when by the clock', () => {
    const grower = updatedTray(HEADED);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'probe-open' });
    grower.call('clock.set', { unixMs: HEADED_BEFORE.bootUnixMs + RESTARTED_MS });
    const { alarms } = grower.status();
    expect(alarms).toMatchObject([
      { alarm: 'probe-open', state: 'latched-unaccepted', atLeast: false, value: 4092.33 },
      { alarm: 'too-cold', endedS: null },
    ]);
    const lateS = CHECKPOINT_S;
    const [open, cold] = alarms;
    expect(Math.abs((open?.ageS ?? 0) - HEADED_BEFORE.openAgeS)).toBeLessThan(lateS);
    expect(Math.abs((open?.endedS ?? 0) - HEADED_BEFORE.openEndedS)).toBeLessThan(lateS);
    expect(Math.abs((cold?.ageS ?? 0) - HEADED_BEFORE.coldAgeS)).toBeLessThan(lateS);
  });

  it('takes what the checkpoint lacks for nothing held off, and nobody at the tray', () => {
    const grower = updatedTray(HEADED);
    // In the first minutes of any start nobody knows whether it was just watered by hand.
    grower.bench.run(3 * MINUTE_MS);
    const { alarms, water } = grower.status();
    expect(alarms.map(({ alarm }) => alarm)).not.toContain('water-held');
    expect(water.heldBy).toBe(null);
  });

  it('does not open the stage again: the next dose is one for dry-back', () => {
    const grower = updatedTray(HEADED);
    for (let h = 0; h < 72 && doses(grower).length === 0; h++) grower.bench.run(HOUR_MS);
    expect(doses(grower)[0]).toMatchObject({ reason: 'dry-back', verdict: 'seen', stage: 1 });
  });

  it('loses nothing of its run', () => {
    const entries = updatedTray(HEADED).journal();
    expect(entries[0]).toMatchObject({ kind: 'boot', boot: 2 });
    expect(lostIn(entries)).toEqual([]);
  });
});
