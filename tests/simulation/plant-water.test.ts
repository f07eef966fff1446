/** Water in the plant: held, drained, evaporated, grown - and never lost from the account. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FAULT_NAMES } from '../../firmware/bench/faults';
import { PLUGS, Wool } from '../../firmware/bench/plant/wool';
import { Rig, type RigOptions } from '../../firmware/bench/rig';
import type { LidPlace } from '../../shared/profile/profile';
import { holds } from '../properties';

const HOUR_S = 3600;
const DAY_S = 86_400;

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

  it('sheds a good part of a dose when it has become very dry', () => {
    const wool = new Wool(PLUGS);
    wool.heldG = 0.1 * wool.capacityG;
    const before = wool.heldG;
    for (let s = 0; s < 100; s++) wool.step(1, 1);
    for (let s = 0; s < HOUR_S; s++) wool.step(1, 0);
    expect(wool.heldG - before).toBeLessThan(75);
    expect(wool.drainedG).toBeGreaterThan(25);
  });

  it('lets water over container capacity run off the scale within half an hour', () => {
    const wool = new Wool(PLUGS);
    wool.heldG = wool.capacityG;
    for (let s = 0; s < 300; s++) wool.step(1, 1);
    for (let s = 0; s < HOUR_S; s++) wool.step(1, 0);
    expect(wool.drainedG).toBeGreaterThan(295);
  });
});

describe('evaporation', () => {
  it('costs a few grams a day under a closed lid', () => {
    const g = evaporatedIn24h('closed');
    expect(g).toBeGreaterThan(2);
    expect(g).toBeLessThan(10);
  });

  it('costs an open tray of bare wool one to three millimetres a day', () => {
    const mm = evaporatedIn24h('off') / (0.254 * 0.508) / 1000;
    expect(mm).toBeGreaterThan(1);
    expect(mm).toBeLessThan(3);
  });

  it('grows with every step of the lid', () => {
    const places = ['closed', 'vents-open', 'loose', 'propped', 'off'] as const;
    const grams = places.map(evaporatedIn24h);
    expect(grams).toEqual([...grams].sort((a, b) => a - b));
  });

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
