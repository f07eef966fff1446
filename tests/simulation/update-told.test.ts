/**
 * An update under a running tray to which something happened as the power went: a hand, or a weight, was on it, with other
 * probes that the board was told of; or it was too warm, and not yet for long enough to be said.
 */
import { describe, expect, it } from 'vitest';
import { probeCurveOf } from '../../shared/physics/probe-curve';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { changesOf, stateOfAlarm } from './scenes';
import { B3435 } from './told-probes';
import {
  CHECKPOINT_S,
  flashOf,
  lostIn,
  type Past,
  RESTARTED_MS,
  updatedTray,
} from './updated-tray';

/** What the older firmware said of a tray of two told probes: a hand was at the tray. */
const TOLD_BEFORE = {
  stageRunS: 59_400,
  capacityG: 4595.8,
  dryG: 535.8,
  dryBackShare: 0.026,
  dayMl: 164.4,
  hoursWatered: 4,
  stageMl: 164.4,
  trayG: 4500.2,
} as const;
/** What the hand took with it, g. */
const TAKEN_G = 60;
const TOLD: Past = {
  flash: flashOf('running-tray-told-layout'),
  parts: { seed: 40, ntcs: { rootZone: B3435, mat: B3435 } },
  trayG: TOLD_BEFORE.trayG - TAKEN_G,
};

describe('an update of a running tray from the layout with told probes', () => {
  it('goes on in the same stage, with its water and its weights', () => {
    const { stage, water } = updatedTray(TOLD).status();
    const { capacityG, dryG, stageMl, dayMl, stageRunS, hoursWatered } = TOLD_BEFORE;
    expect(stage).toMatchObject({ index: 1, name: 'first feed' });
    expect(stage?.runS).toBeGreaterThanOrEqual(stageRunS - CHECKPOINT_S);
    expect(water).toMatchObject({ capacityG, dryG, stageMl });
    expect(water.dayMl).toBeGreaterThanOrEqual(dayMl);
    expect(water.dayMl).toBeLessThanOrEqual(dayMl + hoursWatered);
  });

  it('reads both probes by what was told of them, one of them again and again, and their offsets with it', () => {
    const read = updatedTray(TOLD).call('probe.read', {}, false);
    expect(read.rootZoneCurve).toEqual(read.matCurve);
    expect(read.rootZoneCurve).toMatchObject({ at25Ohm: expect.closeTo(10_000, -1) });
    expect(read).toMatchObject({ calibration: { offsetK: 0.11 } });
    expect(read).toMatchObject({ matCalibration: { offsetK: -0.22 } });
    expect(read).toMatchObject({ probe: 'ok', matProbe: 'ok' });
  });

  it('knows that a hand was there as the power went: what is gone since is no dry-back', () => {
    const grower = updatedTray(TOLD);
    grower.bench.run(5 * MINUTE_MS);
    expect(grower.status().water.dryBackShare).toBeCloseTo(TOLD_BEFORE.dryBackShare, 2);
  });

  it('loses nothing of its run', () => {
    const entries = updatedTray(TOLD).journal();
    expect(lostIn(entries)).toEqual([]);
  });
});

/** The same of one with a told mat probe, whose checkpoint ended before the last step of the weight and its water. */
const CURVES_BEFORE = {
  stageRunS: 59_400,
  capacityG: 4595.7,
  dryG: 535.8,
  dryBackShare: 0.027,
  stageMl: 164.4,
  reservoirLeftMl: 4_840,
  pumpShare: 0.974,
  plantsMl: 160,
  /** A weight stood on the tray, g. */
  weightG: 900,
} as const;
const CURVES: Past = {
  flash: flashOf('running-tray-curves-layout'),
  parts: { seed: 40, ntcs: { mat: B3435 } },
  trayG: 4496.3,
  weightG: CURVES_BEFORE.weightG,
};

describe('an update of a running tray from the layout with curves', () => {
  it('goes on in the same stage with the same weights, water and curves', () => {
    const grower = updatedTray(CURVES);
    const { stage, water } = grower.status();
    expect(stage).toMatchObject({ index: 1, name: 'first feed', kind: 'weigh', staying: false });
    expect(stage?.runS).toBeGreaterThanOrEqual(CURVES_BEFORE.stageRunS - CHECKPOINT_S);
    expect(stage?.runS).toBeLessThanOrEqual(CURVES_BEFORE.stageRunS + RESTARTED_MS / 1000);
    const { capacityG, dryG, stageMl, reservoirLeftMl, pumpShare, plantsMl } = CURVES_BEFORE;
    expect(water).toMatchObject({ capacityG, dryG, stageMl, reservoirLeftMl, pumpShare, plantsMl });
    expect(grower.call('probe.read', {}, false)).toMatchObject({
      rootZoneCurve: 'reference',
      matCurve: probeCurveOf(B3435),
    });
  });

  it('knows the weight on the tray for a thing, whatever it lacks of when that came, and again when it goes', () => {
    const grower = updatedTray(CURVES);
    const { bench } = grower;
    const untold = () =>
      Math.abs((grower.status().water.dryBackShare ?? 1) - CURVES_BEFORE.dryBackShare);
    bench.run(10 * MINUTE_MS);
    expect(untold()).toBeLessThan(0.005);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expect(untold()).toBeLessThan(0.005);
  });

  it('loses nothing of its run', () => {
    const entries = updatedTray(CURVES).journal();
    expect(entries[0]).toMatchObject({ kind: 'boot', boot: 3 });
    expect(lostIn(entries)).toEqual([]);
  });
});

/** The same of one whose checkpoint ended with whether it drains: its root zone had been too warm for nearly two hours. */
const DRAINS_BEFORE = { stageRunS: 6_600, capacityG: 4595.9, dryG: 535.8, reservoirLeftMl: 5_000 };
/** Without a lid it stands cooler by evaporation: in this room it is as warm as it was. */
const WARM_ROOM = { meanC: 30, swingK: 0, weatherK: 0 };
const DRAINS: Past = {
  flash: flashOf('running-tray-drains-layout'),
  parts: { seed: 41, room: WARM_ROOM },
  trayG: 4562.8,
};

describe('an update of a running tray from the layout with what drains', () => {
  it('goes on in the same stage with the same weights, and loses nothing of its run', () => {
    const grower = updatedTray(DRAINS);
    const { stage, water } = grower.status();
    expect(stage).toMatchObject({ index: 1, name: 'first feed', kind: 'weigh', staying: false });
    expect(stage?.runS).toBeGreaterThanOrEqual(DRAINS_BEFORE.stageRunS - CHECKPOINT_S);
    const { capacityG, dryG, reservoirLeftMl } = DRAINS_BEFORE;
    expect(water).toMatchObject({ capacityG, dryG, reservoirLeftMl });
    expect(lostIn(grower.journal())).toEqual([]);
  });

  it('says that it is too warm once it has been so for as long as ever since the update', () => {
    const grower = updatedTray(DRAINS);
    grower.bench.run(1.9 * HOUR_MS);
    expect(changesOf(grower, 'too-warm')).toEqual([]);
    grower.bench.run(0.2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'too-warm')).toBe('unaccepted');
  });
});

/** The same of one whose checkpoint ended before which of its water was no thing: a weight stood on it, and it had been misted. */
const PAID_BEFORE = {
  stageRunS: 49_200,
  capacityG: 4595.8,
  dryG: 535.8,
  dryBackShare: 0.021,
  stageMl: 81.8,
  reservoirLeftMl: 4_920,
  pumpShare: 0.966,
  plantsMl: 80,
  /** Of the tray without the weight, g; and the weight. */
  trayG: 4517.9,
  weightG: 900,
} as const;
const PAID: Past = {
  flash: flashOf('running-tray-paid-layout'),
  parts: { seed: 42, room: { meanC: 24, swingK: 0, weatherK: 0 } },
  trayG: PAID_BEFORE.trayG,
  weightG: PAID_BEFORE.weightG,
};

describe('an update of a running tray from the layout before its own water', () => {
  it('goes on in the same stage with the same weights and water, and loses nothing of its run', () => {
    const grower = updatedTray(PAID);
    const { stage, water } = grower.status();
    expect(stage).toMatchObject({ index: 1, name: 'first feed', kind: 'weigh', staying: false });
    expect(stage?.runS).toBeGreaterThanOrEqual(PAID_BEFORE.stageRunS - CHECKPOINT_S);
    expect(stage?.runS).toBeLessThanOrEqual(PAID_BEFORE.stageRunS + RESTARTED_MS / 1000);
    const { capacityG, dryG, stageMl, reservoirLeftMl, pumpShare, plantsMl } = PAID_BEFORE;
    expect(water).toMatchObject({ capacityG, dryG, stageMl, reservoirLeftMl, pumpShare, plantsMl });
    expect(lostIn(grower.journal())).toEqual([]);
  });

  it('knows the weight for a thing and the mist for water, now and when the weight goes', () => {
    const grower = updatedTray(PAID);
    const { bench } = grower;
    const untold = () =>
      Math.abs((grower.status().water.dryBackShare ?? 1) - PAID_BEFORE.dryBackShare);
    bench.run(10 * MINUTE_MS);
    expect(untold()).toBeLessThan(0.005);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expect(untold()).toBeLessThan(0.005);
  });
});

/** The same of one that knew which of its water was no thing, and not what a thing may hide: first misted, then with a weight. */
const OWN_WATER: Past = {
  flash: flashOf('running-tray-own-water-layout'),
  parts: { seed: 43, room: { meanC: 24, swingK: 0, weatherK: 0 } },
  trayG: 4517.2,
  weightG: 900,
};

describe('an update of a running tray from the layout before what a thing may hide', () => {
  it('goes on in the same stage, with its weights, and as dry as it was with the weight and without', () => {
    const grower = updatedTray(OWN_WATER);
    const { bench } = grower;
    const { stage, water } = grower.status();
    expect(stage).toMatchObject({ index: 1, name: 'first feed', kind: 'weigh', staying: false });
    expect(stage?.runS).toBeGreaterThanOrEqual(49_200 - CHECKPOINT_S);
    expect(water).toMatchObject({ capacityG: 4595.5, dryG: 535.9, stageMl: 81.7, plantsMl: 80 });
    const untold = () => Math.abs((grower.status().water.dryBackShare ?? 1) - 0.021);
    bench.run(10 * MINUTE_MS);
    expect(untold()).toBeLessThan(0.005);
    bench.hand.takeWeight();
    bench.run(10 * MINUTE_MS);
    expect(untold()).toBeLessThan(0.005);
    expect(lostIn(grower.journal())).toEqual([]);
  });
});
