/** Each fault does to tray and sensors what its name says, and ends when it should. */
import { describe, expect, it } from 'vitest';
import { FAULT_NAMES, type FaultName, Faults } from '../../firmware/bench/faults';
import { Rig } from '../../firmware/bench/rig';
import { SCALE_CODE_MAX } from '../../shared/board/map';
import { temperatureFromCode } from '../../shared/physics/ntc';

/** A tray held at about 26 C by a mat that is on for 60 % of the time. */
function warmRig(): Rig {
  const rig = new Rig({ seed: 21, room: { weatherK: 0 }, pump: { mlPerS: 1 } });
  rig.hand.soak();
  rig.hand.setLid('closed');
  for (let s = 0; s < 24 * 3600; s++) rig.step(1000, 600, 0);
  // Fills the tube.
  for (let s = 0; s < 10; s++) rig.step(1000, 600, 1000);
  for (let s = 0; s < 3600; s++) rig.step(1000, 600, 0);
  return rig;
}

function run(rig: Rig, seconds: number, matMs = 600, pumpMs = 0): void {
  for (let s = 0; s < seconds; s++) rig.step(1000, matMs, pumpMs);
}

const rootZoneC = (rig: Rig) => temperatureFromCode(rig.probeCode('rootZone'));

/** Change of the tray over a while in which the pump ran for a minute, g. */
function gainOver(rig: Rig, seconds: number, pumpS = 0): number {
  const before = rig.plant.trayMassG;
  run(rig, pumpS, 600, 1000);
  run(rig, seconds - pumpS);
  return rig.plant.trayMassG - before;
}

function withFault(name: FaultName): Rig {
  const rig = warmRig();
  rig.fault(name, true);
  return rig;
}

describe('probe faults', () => {
  it('open and short read near the ends of the scale', () => {
    expect(withFault('probe-open').probeCode('rootZone')).toBeGreaterThan(4080);
    expect(withFault('probe-short').probeCode('rootZone')).toBeLessThan(10);
    expect(withFault('mat-probe-open').probeCode('mat')).toBeGreaterThan(4080);
  });

  it('stuck repeats one code to the last digit, and the other probe goes on', () => {
    for (const [name, stuck, live] of [
      ['probe-stuck', 'rootZone', 'mat'],
      ['mat-probe-stuck', 'mat', 'rootZone'],
    ] as const) {
      const rig = withFault(name);
      const codes = [rig.probeCode(stuck), rig.probeCode(live)];
      run(rig, 7200, 0);
      expect(rig.probeCode(stuck)).toBe(codes[0]);
      expect(rig.probeCode(live)).not.toBe(codes[1]);
    }
  });

  it('out of the root zone reads the room within minutes', () => {
    const rig = withFault('probe-out');
    run(rig, 300);
    expect(Math.abs(rootZoneC(rig) - rig.plant.room.airC)).toBeLessThan(0.6);
    expect(rig.plant.thermal.rootZoneC).toBeGreaterThan(23);
  });
});

describe('mat faults', () => {
  it('dead: the tray cools although the mat is switched on', () => {
    const rig = withFault('mat-dead');
    const before = rig.plant.thermal.rootZoneC;
    run(rig, 7200, 1000);
    expect(rig.plant.thermal.rootZoneC).toBeLessThan(before - 1);
  });

  it('cut off: the tray cools although the mat is switched on, and the sense line tells where', () => {
    const nodes = (rig: Rig) => rig.loadNodes({ mat: true, pump: false }, false);
    for (const fault of ['mat-lead-open', 'mat-fuse-blown'] as const) {
      const rig = withFault(fault);
      const before = rig.plant.thermal.rootZoneC;
      run(rig, 7200, 1000);
      expect(rig.plant.thermal.rootZoneC).toBeLessThan(before - 1);
      const { matSupplyV, matFeedV, matLowV } = nodes(rig);
      expect(matSupplyV - matLowV).toBeGreaterThan(5);
      expect(matFeedV === matSupplyV).toBe(fault === 'mat-lead-open');
    }
    const { matSupplyV, matLowV } = nodes(warmRig());
    expect(matLowV).toBe(matSupplyV);
  });

  it('welded by its own switch: it does not heat while it is not asked for, not while the pump runs either', () => {
    const rig = withFault('mat-switch-welded');
    expect(rig.loadNodes({ mat: true, pump: false }, false).matLowV).toBe(0);
    const overRootZoneK = () => rig.plant.thermal.matC - rig.plant.thermal.rootZoneC;
    run(rig, 1800, 0);
    expect(overRootZoneK()).toBeLessThan(0.1);
    run(rig, 600, 0, 1000);
    expect(overRootZoneK()).toBeLessThan(0.1);
  });

  it('stuck on: the tray warms although the mat is switched off, but not without mains', () => {
    const rig = withFault('mat-stuck-on');
    const before = rig.plant.thermal.rootZoneC;
    run(rig, 7200, 0);
    expect(rig.plant.thermal.rootZoneC).toBeGreaterThan(before + 1);
    rig.fault('mains-cut', true);
    run(rig, 7200, 0);
    expect(rig.plant.thermal.rootZoneC).toBeLessThan(before + 1);
  });
});

/** Half dry: there is room for a dose. */
function dryingRig(): Rig {
  const rig = withFault('wick');
  run(rig, 3 * 3600);
  rig.fault('wick', false);
  return rig;
}

describe('water faults', () => {
  it('a sound pump brings a minute of flow to a tray with room for it', () => {
    const rig = dryingRig();
    expect(gainOver(rig, 600, 60)).toBeGreaterThan(56);
  });

  it('tube off, reservoir empty: the pump runs and the tray gains nothing', () => {
    expect(gainOver(withFault('tube-off'), 600, 60)).toBeLessThan(0.1);
    const dry = withFault('reservoir-empty');
    // What was in the tube still arrives.
    expect(gainOver(dry, 600, 60)).toBeLessThan(6);
    expect(gainOver(dry, 600, 60)).toBeLessThan(0.1);
  });

  it('a worn tube brings half', () => {
    const rig = dryingRig();
    rig.fault('tube-worn', true);
    const gainG = gainOver(rig, 600, 60);
    expect(gainG).toBeGreaterThan(26);
    expect(gainG).toBeLessThan(31);
  });

  it('a wick takes, a siphon brings, with the pump off', () => {
    expect(gainOver(withFault('wick'), 600)).toBeLessThan(-80);
    const rig = dryingRig();
    rig.fault('siphon', true);
    expect(gainOver(rig, 600)).toBeGreaterThan(80);
  });

  it('a leak takes what a dose cannot keep from it, and from drained wool nothing', () => {
    const rig = withFault('leak');
    run(rig, 3600);
    expect(Math.abs(gainOver(rig, 600))).toBeLessThan(1);
    rig.hand.mist(400);
    expect(gainOver(rig, 600)).toBeLessThan(-100);
  });

  it('a wick leaves wool what it holds against 30 cm, a fifth of its water', () => {
    const rig = withFault('wick');
    run(rig, 8 * 3600);
    expect(rig.plant.wool.share).toBeCloseTo(0.19, 2);
  });

  it('a pump that is stuck on runs whatever the board says, but not without mains', () => {
    const rig = withFault('pump-stuck-on');
    const before = rig.plant.pump.ranMs;
    run(rig, 60);
    expect(rig.plant.pump.ranMs - before).toBe(60_000);
    rig.fault('mains-cut', true);
    run(rig, 60);
    expect(rig.plant.pump.ranMs - before).toBe(60_000);
  });

  it('a lid left open dries the tray a dozen times as fast', () => {
    const closed = -gainOver(warmRig(), 86_400);
    const open = -gainOver(withFault('lid-open'), 86_400);
    expect(open).toBeGreaterThan(12 * closed);
  });
});

describe('scale faults', () => {
  const codes = (rig: Rig): number[] =>
    Array.from({ length: 60 }, () => {
      run(rig, 1);
      return rig.scaleCode();
    });
  const rangeG = (rig: Rig) => {
    const read = codes(rig);
    return (Math.max(...read) - Math.min(...read)) / rig.plant.cell.countsPerG;
  };

  it('unplugged gives no code, saturated gives the end code', () => {
    expect(codes(withFault('scale-unplugged')).every(Number.isNaN)).toBe(true);
    expect(codes(withFault('scale-saturated')).every((code) => code === SCALE_CODE_MAX)).toBe(true);
  });

  it('noisy trembles by many grams, a sound one by less than one', () => {
    expect(rangeG(warmRig())).toBeLessThan(1.5);
    expect(rangeG(withFault('scale-noisy'))).toBeGreaterThan(20);
  });

  it('a lifted tray leaves the scale empty', () => {
    const rig = warmRig();
    const loadedCode = codes(rig).at(-1) ?? 0;
    rig.fault('tray-lifted', true);
    const liftedG = (loadedCode - (codes(rig).at(-1) ?? 0)) / rig.plant.cell.countsPerG;
    expect(liftedG).toBeCloseTo(rig.plant.trayMassG, -1);
  });

  it('gives each conversion once', () => {
    const rig = warmRig();
    run(rig, 1);
    expect(rig.scaleCode()).not.toBeNaN();
    expect(rig.scaleCode()).toBeNaN();
  });
});

describe('every fault', () => {
  it.each(FAULT_NAMES)('%s ends after its time', (name) => {
    const rig = new Rig({ seed: 1 });
    rig.fault(name, true, 60_000);
    run(rig, 59);
    expect(rig.faults.has(name)).toBe(true);
    run(rig, 1);
    expect(rig.faults.active).toEqual([]);
  });
});

describe('a fault that is not felt for a moment', () => {
  const [STARTS_MS, FOR_MS] = [0, 1000];

  it('is on none the less, in its place among the others, and ends when it should', () => {
    const faults = new Faults();
    faults.set('link-noise', true, STARTS_MS, FOR_MS);
    faults.set('lid-open', true, STARTS_MS, Number.POSITIVE_INFINITY);
    faults.without('link-noise', () => {
      expect(faults.has('link-noise')).toBe(false);
      faults.set('mat-dead', true, STARTS_MS, 5 * FOR_MS);
    });
    expect(faults.active).toEqual(['link-noise', 'lid-open', 'mat-dead']);
    expect(faults.expire(FOR_MS)).toBe(true);
    expect(faults.active).toEqual(['lid-open', 'mat-dead']);
  });

  it('is over when it was called off meanwhile, and is felt again when what was done failed', () => {
    const faults = new Faults();
    faults.set('link-noise', true, STARTS_MS, FOR_MS);
    expect(() =>
      faults.without('link-noise', () => {
        throw new Error('nobody answers');
      }),
    ).toThrow('nobody answers');
    expect(faults.has('link-noise')).toBe(true);
    faults.without('link-noise', () => faults.set('link-noise', false, STARTS_MS, 0));
    expect(faults.has('link-noise')).toBe(false);
  });
});
