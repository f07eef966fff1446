/** What a grower's hands do to tray, probe, lamp and reservoir, as sensors and plants feel it. */
import { describe, expect, it } from 'vitest';
import { HAND_ACTION_NAMES, perform } from '../../firmware/bench/hand-actions';
import { Rig, type RigOptions } from '../../firmware/bench/rig';
import { temperatureFromCode } from '../../shared/physics/ntc';
import { HOUR_S, MINUTE_S } from '../../shared/units/time';

function warmRig(options: Partial<RigOptions> = {}): Rig {
  const rig = new Rig({ seed: 9, room: { weatherK: 0, swingK: 0 }, ...options });
  rig.hand.soak();
  rig.hand.setLid('closed');
  run(rig, 20 * HOUR_S, 0.7);
  return rig;
}

function run(rig: Rig, seconds: number, matShare = 0): void {
  for (let s = 0; s < seconds; s++) rig.step(1000, matShare * 1000, 0);
}

const probeC = (rig: Rig): number => temperatureFromCode(rig.probeCode('rootZone'));
const onScaleG = (rig: Rig): number => rig.plant.onScaleG(false);

describe('the tray taken off its mat and scale', () => {
  it('takes its probe along, which cools towards the room while the mat stays warm', () => {
    const rig = warmRig();
    const beforeC = probeC(rig);
    rig.hand.takeTray();
    run(rig, 2 * HOUR_S, 0.7);
    expect(probeC(rig)).toBeLessThan(beforeC - 2);
    run(rig, 20 * HOUR_S, 0.7);
    // The lamp leaves it half a kelvin.
    expect(probeC(rig) - 18).toBeLessThan(1);
    expect(rig.plant.thermal.matC).toBeGreaterThan(22);
  });

  it('leaves on the scale what stands there besides', () => {
    const rig = warmRig();
    rig.hand.putWeight(500);
    rig.hand.leaveInTray(200);
    const beforeG = onScaleG(rig);
    rig.hand.takeTray();
    expect(onScaleG(rig)).toBe(500);
    rig.hand.putTray();
    expect(onScaleG(rig)).toBe(beforeG);
    rig.hand.clearTray();
    expect(onScaleG(rig)).toBeCloseTo(beforeG - 200, 9);
  });

  it('comes back from a tub beside the scale at container capacity, with the strength of the feed', () => {
    const rig = warmRig({ feedMs: 2 });
    rig.plant.wool.heldG *= 0.5;
    const balance = rig.plant.balanceG;
    rig.hand.soakBeside(15 * MINUTE_S * 1000);
    run(rig, 10 * MINUTE_S);
    expect(onScaleG(rig)).toBe(0);
    run(rig, 5 * MINUTE_S);
    expect(rig.plant.trayOnScale).toBe(true);
    run(rig, HOUR_S);
    expect(rig.plant.wool.share).toBeCloseTo(1, 2);
    expect(rig.plant.salts.strength(rig.plant.trayWaterG)).toBeCloseTo(1280, -1);
    expect(rig.plant.balanceG).toBeCloseTo(balance, 3);
  });
});

describe('plants that move on', () => {
  it('take wool, water and salts with them: half a tray weighs half and holds half', () => {
    const rig = warmRig();
    rig.hand.sow();
    run(rig, 24 * HOUR_S);
    const { wool, salts } = rig.plant;
    const before = { capacityG: wool.capacityG, heldG: wool.heldG, mg: salts.trayMg };
    const balance = rig.plant.balanceG;
    rig.hand.split(49);
    expect(wool.capacityG).toBeCloseTo(before.capacityG / 2, 6);
    expect(wool.heldG).toBeCloseTo(before.heldG / 2, 6);
    expect(salts.trayMg).toBeCloseTo(before.mg / 2, 6);
    expect(rig.plant.medium.pieces).toBe(49);
    expect(rig.plant.balanceG).toBeCloseTo(balance, 6);
  });

  it('go into blocks: other mass and capacity, and the probe reads the room for a minute', () => {
    const room = { meanC: 13, weatherK: 0, swingK: 0 };
    const rig = warmRig({ crop: 'tomato', room });
    rig.hand.sow();
    run(rig, 12 * 24 * HOUR_S, 0.9);
    expect(probeC(rig)).toBeGreaterThan(22);
    rig.hand.transplant();
    // 8 x 650 ml x 0.8 of water, and 0.07 g/ml of wool.
    expect(rig.plant.wool.capacityG).toBeCloseTo(4152.5, 0);
    expect(rig.plant.wool.dryG).toBeCloseTo(364, 0);
    run(rig, 50);
    expect(probeC(rig)).toBeLessThan(19);
    expect(rig.plant.thermal.rootZoneC).toBeCloseTo(20, 0);
    run(rig, 5 * MINUTE_S);
    expect(Math.abs(probeC(rig) - rig.plant.thermal.rootZoneC)).toBeLessThan(0.5);
  });
});

describe('light', () => {
  it('goes and comes with the switch, the timer and the height of the lamp', () => {
    const rig = warmRig();
    const { room } = rig.plant;
    const ppfdAfter = (change: () => void): number => {
      change();
      run(rig, 2);
      return room.ppfd;
    };
    rig.hand.switchLamp('on');
    expect(ppfdAfter(() => {})).toBe(175);
    expect(ppfdAfter(() => rig.hand.hangLamp(2))).toBeCloseTo(175 / 4, 9);
    expect(ppfdAfter(() => rig.hand.switchLamp('off'))).toBe(0);
    expect(ppfdAfter(() => rig.hand.hangLamp(1))).toBe(0);
    rig.hand.switchLamp('timer');
    expect(ppfdAfter(() => {})).toBe(room.lit ? 175 : 0);
  });

  it('of the sun for an hour warms a closed tray by a kelvin or two, and is gone again', () => {
    const rig = warmRig();
    const beforeC = rig.plant.thermal.rootZoneC;
    rig.hand.letSunIn(HOUR_S * 1000);
    run(rig, HOUR_S, 0.7);
    expect(rig.plant.thermal.rootZoneC - beforeC).toBeGreaterThan(1);
    expect(rig.plant.thermal.rootZoneC - beforeC).toBeLessThan(6);
    run(rig, MINUTE_S);
    expect(rig.plant.room.sunny).toBe(false);
    expect(rig.plant.room.ppfd).toBeLessThan(176);
  });
});

describe('the reservoir', () => {
  it('is thinned by plain water and made stronger by strong feed, by the volumes', () => {
    const rig = warmRig({ feedMs: 1.2 });
    const ms = (): number => rig.plant.salts.reservoirMgL / 640;
    rig.hand.drainReservoir(1000);
    rig.hand.refill(2000, 0);
    expect(ms()).toBeCloseTo(0.6, 9);
    rig.hand.refill(4000, 2.4);
    expect(ms()).toBeCloseTo(1.5, 9);
    rig.hand.refill(4000);
    expect(ms()).toBeCloseTo(1.5, 9);
  });

  it('brings its salts with the water, and what drains takes them along', () => {
    const rig = warmRig({ feedMs: 1.2 });
    run(rig, HOUR_S);
    const { salts, wool } = rig.plant;
    const beforeMg = salts.trayMg;
    const drainedG = wool.drainedG;
    const givenMl = rig.plant.deliveredMl;
    for (let s = 0; s < 600; s++) rig.step(1000, 0, 1000);
    run(rig, 2 * HOUR_S);
    const broughtMg = (rig.plant.deliveredMl - givenMl) * 1.2 * 0.64;
    const lostMg = beforeMg + broughtMg - salts.trayMg;
    expect(broughtMg).toBeGreaterThan(300);
    expect(lostMg / ((wool.drainedG - drainedG) * 1.2 * 0.64)).toBeCloseTo(1, 1);
  });
});

it('every action of the list can be done, and the water account closes over all of them', () => {
  const rig = warmRig();
  rig.hand.sow();
  const balance = rig.plant.balanceG;
  for (const name of HAND_ACTION_NAMES) {
    const needs = { 'put-weight': 500, 'leave-in-tray': 100, lid: 'propped' } as const;
    const value = name in needs ? needs[name as keyof typeof needs] : undefined;
    expect(perform(rig.hand, name, value).ok, name).toBe(true);
    run(rig, 20 * MINUTE_S);
  }
  expect(rig.plant.balanceG).toBeCloseTo(balance, 3);
});
