/** Water in the plant: held, drained, evaporated, grown - and never lost from the account. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FAULT_NAMES } from '../../firmware/bench/faults';
import { BARE_LOSS_G_PER_H } from '../../firmware/bench/plant/lid';
import { PLUGS, Wool } from '../../firmware/bench/plant/wool';
import { Rig, type RigOptions } from '../../firmware/bench/rig';
import { steadyRises } from '../../hardware/budget/mat';
import { PSYCHROMETER_KPA_K, saturationKpa, saturationSlope } from '../../shared/physics/vapour';
import type { LidPlace } from '../../shared/profile/profile';
import { DAY_S, HOUR_S } from '../../shared/units/time';
import { holds } from '../properties';

const AREA_M2 = 0.254 * 0.508;

function soakedRig(options: Partial<RigOptions> = {}): Rig {
  const rig = new Rig({ seed: 7, room: { weatherK: 0 }, ...options });
  rig.hand.soak();
  rig.hand.setLid('closed');
  return rig;
}

/** Runs with the mat on for so large a share of each second. */
function run(rig: Rig, seconds: number, matShare = 0): void {
  for (let s = 0; s < seconds; s++) rig.step(1000, matShare * 1000, 0);
}

function evaporatedIn24h(lid: LidPlace): number {
  const rig = soakedRig();
  rig.hand.setLid(lid);
  run(rig, DAY_S, 0.6);
  return rig.plant.water.evaporatedG;
}

describe('stone wool', () => {
  it('holds what the tray of 98 plugs should: 355.6 g dry, 4064 ml at container capacity', () => {
    const wool = new Wool(PLUGS);
    expect(wool.dryG).toBeCloseTo(355.6, 1);
    expect(wool.capacityG / 0.998207).toBeCloseTo(4064.3, 0);
  });

  it('drains a soaked tray to container capacity within the hour', () => {
    const wool = new Wool(PLUGS);
    wool.heldG = wool.saturatedG;
    for (let s = 0; s < HOUR_S; s++) wool.step(1, 0);
    expect(wool.heldG).toBeCloseTo(wool.capacityG, 0);
    expect(wool.drainedG).toBeGreaterThan(0.98 * (wool.saturatedG - wool.capacityG));
  });

  it('keeps nearly all of a dose that it has room for', () => {
    const wool = new Wool(PLUGS);
    wool.heldG = 0.8 * wool.capacityG;
    const before = wool.heldG;
    for (let s = 0; s < 100; s++) wool.step(1, 1);
    for (let s = 0; s < 600; s++) wool.step(1, 0);
    expect(wool.heldG - before).toBeGreaterThan(97);
  });

  it('dries together with the matting under it, which stays when pieces go', () => {
    const wool = new Wool(PLUGS, { dryG: 60, holdsMl: 240 });
    expect(wool.dryG).toBeCloseTo(415.6, 1);
    expect(wool.capacityG / 0.998207).toBeCloseTo(4304.3, 0);
    wool.heldG = 0.5 * wool.capacityG;
    expect(wool.inPiecesG / 0.998207).toBeCloseTo(0.5 * 4064.3, 0);
    const goneG = wool.keep({ ...PLUGS, pieces: 49 });
    expect(goneG / 0.998207).toBeCloseTo(0.5 * 2032.1, 0);
    expect(wool.share).toBeCloseTo(0.5, 9);
    expect(wool.dryG).toBeCloseTo(60 + 355.6 / 2, 1);
  });

  it('sheds a good part of a dose when it has become very dry', () => {
    const wool = new Wool(PLUGS);
    wool.heldG = 0.1 * wool.capacityG;
    const before = wool.heldG;
    for (let s = 0; s < 100; s++) wool.step(1, 1);
    for (let s = 0; s < HOUR_S; s++) wool.step(1, 0);
    expect(wool.heldG - before).toBeLessThan(75);
    expect(wool.drainedG).toBeGreaterThan(25);
  });

  it('holds no flood: what wool and channels cannot take runs over the rim at once', () => {
    const rig = soakedRig();
    rig.hand.mist(20_000);
    const { wool } = rig.plant;
    // Soaked wool and 5 mm of water on the tray's floor (0.129 m2).
    expect(wool.heldG + wool.channelG).toBeLessThan(wool.saturatedG + 650.1);
    expect(rig.plant.onScaleG(false)).toBeLessThan(6200);
    expect(wool.drainedG).toBeGreaterThan(14_000);
    run(rig, HOUR_S);
    expect(wool.heldG).toBeCloseTo(wool.capacityG, -1);
  });

  it('gives a leak only what gravity takes: the wool keeps its container capacity', () => {
    const rig = soakedRig();
    run(rig, HOUR_S);
    rig.fault('leak', true);
    run(rig, 40 * HOUR_S);
    const { wool, water } = rig.plant;
    expect(wool.heldG + water.evaporatedG).toBeGreaterThan(0.99 * wool.capacityG);
  });

  it('gives a leak all of a dose that comes on wet wool', () => {
    const wool = new Wool(PLUGS);
    wool.heldG = wool.capacityG;
    let leakedG = 0;
    for (let s = 0; s < 600; s++) {
      wool.step(1, s < 100 ? 1 : 0);
      leakedG += wool.lose(5);
    }
    expect(leakedG).toBeGreaterThan(90);
    expect(wool.heldG).toBeCloseTo(wool.capacityG, 0);
  });

  it('lets water over container capacity run off the scale within half an hour', () => {
    const wool = new Wool(PLUGS);
    wool.heldG = wool.capacityG;
    for (let s = 0; s < 300; s++) wool.step(1, 1);
    for (let s = 0; s < HOUR_S; s++) wool.step(1, 0);
    expect(wool.drainedG).toBeGreaterThan(295);
  });
});

/** Loss, g/h, of a soaked bare tray that a mat holds at about 24 C, over a day. */
function lossAt24C(lid: LidPlace, meanC: number, humidityShare: number): number {
  const rig = soakedRig({ room: { weatherK: 0, meanC, humidityShare } });
  rig.hand.setLid(lid);
  let on = true;
  let before = 0;
  for (let s = 0; s < 1.5 * DAY_S; s++) {
    const { rootZoneC } = rig.plant.thermal;
    if (rootZoneC > 24.2) on = false;
    else if (rootZoneC < 23.8) on = true;
    rig.step(1000, on ? 1000 : 0, 0);
    if (s === 0.5 * DAY_S) before = rig.plant.water.evaporatedG;
  }
  return (rig.plant.water.evaporatedG - before) / 24;
}

describe('evaporation', () => {
  it('costs a few grams a day under a closed lid', () => {
    const g = evaporatedIn24h('closed');
    expect(g).toBeGreaterThan(2);
    expect(g).toBeLessThan(10);
  });

  /** mm a day off an open tray of bare wool in the dark, mat on or off all the while. */
  function openMmPerDay(matShare: number): number {
    const rig = soakedRig({ room: { weatherK: 0, swingK: 0, lampPpfd: 0 } });
    rig.hand.setLid('off');
    run(rig, DAY_S, matShare);
    const before = rig.plant.water.evaporatedG;
    run(rig, DAY_S, matShare);
    return (rig.plant.water.evaporatedG - before) / AREA_M2 / 1000;
  }

  it('off open wool over a full mat is what FAO-56 makes of its heat, within a sixth', () => {
    // Equation 6 without wind and without surface resistance, 120 W/m2 for Rn - G, 18 C.
    const mjPerDay = (120 * DAY_S) / 1e6;
    const slope = saturationSlope(18);
    const faoMm = (0.408 * slope * mjPerDay) / (slope + PSYCHROMETER_KPA_K);
    expect(faoMm).toBeCloseTo(2.8, 1);
    expect(openMmPerDay(1) / faoMm).toBeGreaterThan(5 / 6);
    expect(openMmPerDay(1) / faoMm).toBeLessThan(7 / 6);
  });

  it('off open wool without heat is still what air gives to a free cool surface: 1 to 1.6 mm', () => {
    // Penman 1948 with no wind: 2.6 mm a day and kPa, over water between wet bulb and air.
    const mm = openMmPerDay(0);
    expect(mm).toBeLessThan(2.6 * (saturationKpa(18) * (1 - 0.55)));
    expect(mm).toBeGreaterThan(1);
    expect(mm).toBeLessThan(1.6);
  });

  it('agrees with what the sizing of the mat reckons for an open tray, in W/m2', () => {
    const rig = soakedRig({ room: { weatherK: 0, swingK: 0, lampPpfd: 0 } });
    rig.hand.setLid('off');
    run(rig, 2 * DAY_S, 1);
    const riseK = rig.plant.thermal.rootZoneC - rig.plant.room.airC;
    expect(riseK).toBeCloseTo(steadyRises(120, 'off').rootZoneK, 0);
  });

  it('falls off when half of the water is gone (FAO-56 equation 74)', () => {
    const lossAt = (share: number): number => {
      const rig = soakedRig();
      rig.hand.setLid('off');
      rig.plant.wool.heldG = share * rig.plant.wool.capacityG;
      run(rig, HOUR_S);
      return rig.plant.lossGPerH;
    };
    expect(lossAt(0.6) / lossAt(1)).toBeCloseTo(1, 1);
    expect(lossAt(0.2) / lossAt(1)).toBeLessThan(0.7);
  });

  it('grows with every step of the lid', () => {
    const places = ['closed', 'vents-open', 'loose', 'propped', 'off'] as const;
    const grams = places.map(evaporatedIn24h);
    expect(grams).toEqual([...grams].sort((a, b) => a - b));
  });

  it.each(Object.entries(BARE_LOSS_G_PER_H))(
    'with the lid %s is what the table of losses by lid says',
    (lid, { usual, least, most }) => {
      const losses = [
        lossAt24C(lid as LidPlace, 16, 0.6),
        lossAt24C(lid as LidPlace, 18, 0.55),
        lossAt24C(lid as LidPlace, 20, 0.5),
      ];
      expect(losses[1]).toBeGreaterThan(0.85 * usual);
      expect(losses[1]).toBeLessThan(1.15 * usual);
      for (const loss of losses) {
        expect(loss).toBeGreaterThan(least);
        expect(loss).toBeLessThan(most);
      }
    },
  );

  it('takes the lid off by day and lets it rest at night', () => {
    const grams = evaporatedIn24h('off-by-day');
    expect(grams).toBeLessThan(evaporatedIn24h('off'));
    expect(grams).toBeGreaterThan(evaporatedIn24h('loose'));
  });
});

describe('the water account', () => {
  it('closes to the gram over three weeks of growing, dosing, draining and leaking', () => {
    const rig = soakedRig();
    rig.hand.sow();
    const before = rig.plant.balanceG;
    for (let day = 0; day < 21; day++) {
      if (day === 8) rig.hand.setLid('propped');
      if (day === 12) rig.fault('leak', true, 600_000);
      if (day === 14) rig.fault('siphon', true, 3_600_000);
      if (day === 16) rig.hand.transplant();
      if (day === 18) rig.fault('tube-off', true);
      for (let s = 0; s < 120; s++) rig.step(1000, 0, 900);
      run(rig, DAY_S - 120, 0.5);
    }
    expect(rig.plant.balanceG).toBeCloseTo(before, 3);
    expect(rig.plant.grownG).toBeGreaterThan(0);
    expect(rig.plant.wool.drainedG).toBeGreaterThan(0);
    expect(rig.plant.water.spilledG).toBeGreaterThan(0);
  });

  it('closes whatever the grower does and whatever goes wrong', () => {
    const deed = fc.oneof(
      fc
        .constantFrom('putTray', 'takeTray', 'soak', 'sow', 'putJug', 'takeJug', 'transplant')
        .map((name) => (rig: Rig) => {
          if (name === 'putTray') rig.hand.putTray();
          else if (name === 'takeTray') rig.hand.takeTray();
          else if (name === 'soak') rig.hand.soak();
          else if (name === 'sow') rig.hand.sow();
          else if (name === 'putJug') rig.hand.putJug();
          else if (name === 'takeJug') rig.hand.takeJug();
          else rig.hand.transplant();
        }),
      fc.integer({ min: 0, max: 5000 }).map((ml) => (rig: Rig) => rig.hand.refill(ml)),
      fc.integer({ min: 0, max: 200 }).map((g) => (rig: Rig) => rig.hand.mist(g)),
      fc.tuple(fc.constantFrom(...FAULT_NAMES), fc.boolean()).map(
        ([name, on]) =>
          (rig: Rig) =>
            rig.fault(name, on),
      ),
      fc.integer({ min: 1, max: 600 }).map((seconds) => (rig: Rig) => {
        for (let s = 0; s < seconds; s++) rig.step(1000, 500, s % 3 === 0 ? 700 : 0);
      }),
      fc.integer({ min: 1, max: 999 }).map((ms) => (rig: Rig) => rig.step(ms, ms, ms >> 1)),
    );
    holds(
      fc.property(fc.integer(), fc.array(deed, { maxLength: 30 }), (seed, deeds) => {
        const rig = new Rig({ seed });
        const before = rig.plant.balanceG;
        for (const act of deeds) act(rig);
        expect(rig.plant.balanceG).toBeCloseTo(before, 3);
        expect(rig.plant.wool.heldG).toBeGreaterThanOrEqual(0);
        expect(rig.plant.wool.channelG).toBeGreaterThanOrEqual(0);
        expect(rig.plant.pump.reservoirMl).toBeGreaterThanOrEqual(0);
      }),
      { numRuns: 60 },
    );
  });
});
