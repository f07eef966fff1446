/** What the guard finds of the heat: probes that lie, a root zone or a mat that is too hot; and the night band. */
import { describe, expect, it } from 'vitest';
import { MAT } from '../../firmware/bench/plant/thermal';
import { LIMITER } from '../../shared/board/map';
import { PROBES } from '../../shared/board/probes';
import { OUTPUT } from '../../shared/board/words';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { EVERY_TICK, Grower } from './grower';
import { changesOf, profileWith, sownTray, stateOfAlarm } from './scenes';

/** Runs on until an alarm stands; what is really so in the root zone then, degrees Celsius. */
function rootZoneAtAlarm(grower: Grower, alarm: string, limitMs: number): number {
  const raised = () => grower.alarms().includes(alarm);
  expect(grower.bench.runUntil(raised, limitMs), `${alarm} within ${limitMs} ms`).toBe(true);
  return grower.bench.state().rootZoneC;
}

const matIsOff = (grower: Grower) => !grower.bench.state().outputs.mat;

describe('a probe that has fallen out', () => {
  for (const meanC of [12, 18, 21, 24]) {
    it(`into a room of ${meanC} C: mat off within five minutes, latched probe-jumped`, () => {
      const grower = sownTray({}, { ...EVERY_TICK, room: { meanC } });
      grower.bench.fault('probe-out');
      grower.bench.run(5 * MINUTE_MS);
      expect(grower.alarms()).toContain('probe-jumped');
      expect(matIsOff(grower)).toBe(true);
      grower.bench.fault('probe-out', false);
      grower.bench.run(3 * HOUR_MS);
      expect(grower.status().heat.heldBy).toBe('probe-jumped');
      expect(matIsOff(grower)).toBe(true);
    });
  }

  it('put back and cleared: heat goes on, and the way back counts as no jump', () => {
    const grower = sownTray({}, { room: { meanC: 20 } });
    grower.bench.fault('probe-out');
    grower.bench.run(10 * MINUTE_MS);
    grower.bench.fault('probe-out', false);
    grower.bench.run(10 * MINUTE_MS);
    grower.call('alarm.clear', { alarm: 'probe-jumped' });
    grower.bench.run(2 * HOUR_MS);
    expect(grower.alarms()).not.toContain('probe-jumped');
    expect(grower.status().heat.heldBy).toBe(null);
  });
});

describe('a probe that a hand pulled out', () => {
  it('needs no clearing where a mark within minutes says that hands were there', () => {
    const grower = sownTray({}, { room: { meanC: 20 } });
    grower.bench.fault('probe-out');
    grower.bench.run(5 * MINUTE_MS);
    expect(grower.alarms()).toContain('probe-jumped');
    grower.bench.fault('probe-out', false);
    grower.call('mark.set', { mark: 'refilled' });
    expect(grower.alarms()).not.toContain('probe-jumped');
    grower.bench.run(HOUR_MS);
    expect(grower.status().heat.heldBy).toBe(null);
  });
});

describe('a probe that never was in the root zone', () => {
  it('mat hot beside it and no rise: mat off, latched probe-suspect, before the seed cooks', () => {
    // A mat under a tray with an air gap: its heat shows at the mat probe first.
    const grower = new Grower({ room: { meanC: 18 }, mat: { contactWM2K: 8 } });
    grower.commission(profileWith());
    grower.bench.fault('probe-out');
    grower.call('mark.set', { mark: 'sown' });
    const rootZoneC = rootZoneAtAlarm(grower, 'probe-suspect', 3 * HOUR_MS);
    expect(rootZoneC).toBeLessThan(35);
    grower.bench.run(2000);
    expect(matIsOff(grower)).toBe(true);
    grower.bench.run(3 * HOUR_MS);
    expect(grower.status().heat.heldBy).toBe('probe-suspect');
  });
});

describe('a probe calibrated anew while the mat is on', () => {
  const calibrate = (grower: Grower, offsetK: number) =>
    grower.call('probe.calibrate', { channel: PROBES.rootZone.channel, offsetK });

  it('reads otherwise at once, and nothing takes that for movement', () => {
    const grower = sownTray();
    calibrate(grower, -2);
    grower.bench.run(HOUR_MS);
    const { rootZoneC } = grower.status().heat;
    calibrate(grower, 2);
    expect((grower.status().heat.rootZoneC ?? 0) - (rootZoneC ?? 0)).toBeCloseTo(4, 1);
    grower.bench.run(10 * MINUTE_MS);
    expect(grower.alarms()).toEqual([]);
  });

  it('is not suspected of lying elsewhere because the reading fell with a warm mat', () => {
    // A weak contact, so that the mat is far warmer than the root zone.
    const grower = new Grower({ room: { meanC: 14 }, mat: { contactWM2K: 12 } });
    grower.commission(profileWith());
    calibrate(grower, 2);
    grower.bench.run(90 * MINUTE_MS);
    const { on, matC, rootZoneC } = grower.status().heat;
    expect(on).toBe(true);
    expect((matC ?? 0) - (rootZoneC ?? 0)).toBeGreaterThan(6.1);
    calibrate(grower, -2);
    grower.bench.run(20 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: true, heldBy: null });
  });
});

describe('a root zone that is too hot', () => {
  it("above the profile's limit: latched, the mat held off until cleared in the cool", () => {
    // Heat of the room alone: no fault of the mat is needed.
    const grower = new Grower({ room: { meanC: 26, swingK: 0, weatherK: 0 } });
    grower.commission(profileWith({ profile: { rootZoneMaxC: 30 } }));
    grower.bench.fault('mat-stuck-on');
    const rootZoneC = rootZoneAtAlarm(grower, 'root-zone-hot', DAY_MS);
    expect(rootZoneC).toBeGreaterThan(29.5);
    expect(rootZoneC).toBeLessThan(30.5);
    expect(grower.status().heat.heldBy).not.toBe(null);
    expect(() => grower.call('alarm.clear', { alarm: 'root-zone-hot' })).toThrow(/still there/);
    grower.bench.fault('mat-stuck-on', false);
    grower.bench.run(DAY_MS);
    expect(stateOfAlarm(grower, 'root-zone-hot')).toBe('latched-unaccepted');
    expect(grower.status().heat.on).toBe(false);
  });

  for (const offsetK of [0, -2]) {
    it(`above 38 C whatever the profile says, the probe corrected by ${offsetK} K`, () => {
      const room = { meanC: 35, swingK: 0, weatherK: 0 };
      const grower = new Grower({ room, mat: { fluxWM2: 200 } });
      grower.commission(profileWith({ profile: { rootZoneMaxC: 38 } }));
      grower.bench.fault('mat-stuck-on');
      grower.call('probe.calibrate', { channel: PROBES.rootZone.channel, offsetK });
      const rootZoneC = rootZoneAtAlarm(grower, 'root-zone-hot', DAY_MS);
      expect(rootZoneC).toBeGreaterThan(37.5 - offsetK);
      expect(rootZoneC).toBeLessThan(38.5 - offsetK);
    });
  }
});

describe('a wire that touches another between two looks', () => {
  // The limiter has seen it; the mean of the last second is on its way from 25 C to a short.
  const BETWEEN = [1900, 1664, 1408, 1150, 896, 640, 384];

  for (const [name, channel, bit, alarm, hot] of [
    ['root-zone', PROBES.rootZone.channel, OUTPUT.limiterRootZone, 'probe-short', 'root-zone-hot'],
    ['mat', PROBES.mat.channel, OUTPUT.limiterMat, 'mat-probe-failed', 'mat-hot'],
  ] as const) {
    it(`is a fault of the ${name} probe and no heat`, () => {
      for (const between of BETWEEN) {
        const grower = sownTray({}, EVERY_TICK);
        const { board } = grower.bench;
        grower.bench.run(3000);
        const readProbe = board.readProbe.bind(board);
        const outputs = board.outputs.bind(board);
        let code = between;
        board.readProbe = (asked) => (asked === channel ? code : readProbe(asked));
        board.outputs = () => outputs() | bit;
        grower.bench.run(1000);
        code = LIMITER.shortCode - 20;
        grower.bench.run(10_000);
        expect(grower.alarms(), `by way of ${between}`).toContain(alarm);
        expect(grower.alarms(), `by way of ${between}`).not.toContain(hot);
      }
    });
  }
});

describe('a mat that is too hot', () => {
  it('is dropped at 50 C, before the limiter opens at 55, and stays off when it has cooled', () => {
    // A mat made for a bench, under a tray that does not lie flat on it.
    const grower = new Grower({ mat: { fluxWM2: 600, contactWM2K: 20 } });
    grower.commission(profileWith());
    rootZoneAtAlarm(grower, 'mat-hot', 2 * HOUR_MS);
    grower.bench.run(2000);
    expect(matIsOff(grower)).toBe(true);
    let hottestC = 0;
    for (let minute = 0; minute < 30; minute++) {
      grower.bench.run(MINUTE_MS);
      hottestC = Math.max(hottestC, grower.bench.state().matC);
    }
    expect(hottestC).toBeLessThan(53);
    grower.bench.run(HOUR_MS);
    expect(grower.status().heat.heldBy).toBe('mat-hot');
    expect(stateOfAlarm(grower, 'mat-hot')).toBe('latched-unaccepted');
  });
});

describe('a mat in order', () => {
  it('that only holds its own as the lamp is raised, and then switched off, is not called dead', () => {
    const grower = sownTray({}, { room: { meanC: 12 } });
    const { bench } = grower;
    bench.run(8 * HOUR_MS);
    bench.hand.hangLamp(2);
    bench.run(4 * HOUR_MS);
    bench.hand.switchLamp('off');
    bench.run(8 * HOUR_MS);
    // It is on all the time, and the root zone falls short of the band all the same.
    expect(grower.status().heat.on).toBe(true);
    expect(grower.status().heat.rootZoneC).toBeLessThan(26);
    expect(changesOf(grower, 'mat-no-effect')).toEqual([]);
    expect(changesOf(grower, 'probe-suspect')).toEqual([]);
  });

  /** A tray that lies wet on its mat: the heat goes over so well that the mat is hardly the warmer. */
  const WET = { fluxWM2: 120, contactWM2K: 250 };

  it('is not called dead in cold nights under a tray that lies wet on it', () => {
    const grower = sownTray({}, { room: { meanC: 12 }, mat: WET });
    grower.bench.run(2 * DAY_MS);
    const { on, matC, rootZoneC } = grower.status().heat;
    expect(on).toBe(true);
    expect((matC ?? 0) - (rootZoneC ?? 0)).toBeLessThan(0.5);
    expect(changesOf(grower, 'mat-no-effect')).toEqual([]);
  });

  it('is not called stuck where a room warmer than the band sends its heat through it', () => {
    // An open lid keeps the wool cooler than the room; the mat lies on a bare shelf, and the tray not flat on it.
    const grower = sownTray(
      { hold: { band: { lowC: 20, highC: 20.5 } } },
      {
        room: { meanC: 24, swingK: 7, weatherK: 0.2 },
        mat: { contactWM2K: 15, undersideWM2K: 8 },
      },
    );
    const { bench } = grower;
    bench.hand.setLid('off');
    let warmestK = 0;
    for (let hour = 0; hour < 24; hour++) {
      bench.run(HOUR_MS);
      const { on, matC, rootZoneC } = grower.status().heat;
      if (!on) warmestK = Math.max(warmestK, (matC ?? 0) - (rootZoneC ?? 0));
    }
    expect(warmestK).toBeGreaterThan(1);
    expect(changesOf(grower, 'mat-stuck-on')).toEqual([]);
  });
});

describe('a mat that gives no heat', () => {
  it.each([
    ['flat on it', MAT.contactWM2K],
    ['wet on it', 250],
  ])('is told within the hour that it should begin to, the tray lying %s', (_, contactWM2K) => {
    const grower = sownTray({ feed: { band: { lowC: 29, highC: 30 } } }, { mat: { contactWM2K } });
    grower.bench.fault('mat-dead');
    grower.call('stage.next', {});
    grower.bench.run(HOUR_MS);
    expect(stateOfAlarm(grower, 'mat-no-effect')).toBe('unaccepted');
  });

  it('is told where it dies in the middle of a cold night', () => {
    const grower = sownTray({}, { room: { meanC: 12 } });
    expect(grower.status().heat.on).toBe(true);
    grower.bench.fault('mat-dead');
    grower.bench.run(2 * HOUR_MS);
    expect(stateOfAlarm(grower, 'mat-no-effect')).toBe('unaccepted');
  });
});

describe('the night band', () => {
  const night = { startMin: 22 * 60, endMin: 6 * 60 };
  const nightBand = { lowC: 20, highC: 21 };
  const tray = (clock: boolean) => {
    const grower = new Grower({ room: { meanC: 18 } });
    if (clock) grower.call('clock.set', { unixMs: grower.bench.unixMs });
    grower.commission(profileWith({ profile: { night }, hold: { nightBand } }));
    return grower;
  };
  const bandAt = (grower: Grower, hour: number) => {
    const isThen = () => new Date(grower.bench.unixMs).getUTCHours() === hour;
    expect(grower.bench.runUntil(isThen, DAY_MS)).toBe(true);
    grower.bench.run(2 * MINUTE_MS);
    const { lowC, highC } = grower.status().heat;
    return { lowC, highC };
  };

  it("holds between the profile's hours, past midnight, and only then", () => {
    const grower = tray(true);
    expect(bandAt(grower, 21)).toEqual({ lowC: 26, highC: 27 });
    expect(bandAt(grower, 22)).toEqual(nightBand);
    expect(bandAt(grower, 5)).toEqual(nightBand);
    expect(bandAt(grower, 6)).toEqual({ lowC: 26, highC: 27 });
  });

  it('is not used while the time of day is unknown', () => {
    expect(bandAt(tray(false), 23)).toEqual({ lowC: 26, highC: 27 });
  });
});
