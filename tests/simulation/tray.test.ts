import { describe, expect, it } from 'vitest';
import { FLASH_MAP, FLASH_SECTOR_BYTES } from '../../shared/board/map';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from './grower';

describe('a tray left to itself', () => {
  it('writes down the weight that the grower gave, not the one on the scale', () => {
    const grower = new Grower();
    grower.calibrateScale();
    grower.call('mark.set', { mark: 'dry', trayG: 536 });
    const marks = grower.journal().filter(({ kind }) => kind === 'mark');
    expect(marks).toMatchObject([{ mark: 'dry', trayG: 536 }]);
  });

  it('holds the root zone in its band, gives no water in the hold, then waters by weight', () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.run(DAY_MS);
    let lowest = Infinity;
    let highest = -Infinity;
    for (let hour = 0; hour < 5 * 24; hour++) {
      grower.bench.run(HOUR_MS);
      const rootZoneC = grower.status().heat.rootZoneC ?? Number.NaN;
      lowest = Math.min(lowest, rootZoneC);
      highest = Math.max(highest, rootZoneC);
    }
    expect(lowest).toBeGreaterThan(25.5);
    expect(highest).toBeLessThan(27.6);
    expect(grower.journal().filter(({ kind }) => kind === 'dose')).toHaveLength(0);

    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.hand.setLid('off');
    grower.bench.run(10 * DAY_MS);
    const doses = grower.journal().flatMap((entry) => (entry.kind === 'dose' ? [entry] : []));
    expect(doses.length).toBeGreaterThan(0);
    expect(new Set(doses.map(({ verdict }) => verdict))).toEqual(new Set(['seen']));
    expect(grower.status().water.dryBackShare).toBeLessThan(0.12);
    expect(grower.alarms()).toEqual([]);
  });

  it('is cold and dry before it is sown: no heat, no water', () => {
    const grower = new Grower();
    grower.bench.run(6 * HOUR_MS);
    expect(grower.status().heat.on).toBe(false);
    expect(grower.status().heat.heldBy).toBe('not-sown');
    expect(grower.status().water.heldBy).toBe('not-sown');
  });

  it('goes on where it was after a power cut, and adds the outage when the clock is known', () => {
    const grower = new Grower();
    grower.commission();
    grower.call('clock.set', { unixMs: grower.bench.unixMs });
    grower.bench.run(DAY_MS);
    const before = grower.status().stage?.runS ?? 0;
    grower.bench.cutPower();
    grower.bench.run(2 * HOUR_MS);
    grower.bench.restorePower();
    grower.bench.run(MINUTE_MS);
    grower.connect();
    expect(Math.abs((grower.status().stage?.runS ?? 0) - before)).toBeLessThan(7 * 60);
    const { outageS } = grower.call('clock.set', { unixMs: grower.bench.unixMs });
    expect(outageS).toBeGreaterThan(2 * 3600 - 1);
    expect(outageS).toBeLessThan(2 * 3600 + 6 * 60);
    expect(grower.status().heat.heldBy).toBe(null);
  });

  it('adds every outage since the clock was last known, when nobody set it in between', () => {
    const grower = new Grower();
    grower.commission();
    grower.call('clock.set', { unixMs: grower.bench.unixMs });
    grower.bench.run(DAY_MS);
    for (const hours of [2, 3]) {
      grower.bench.cutPower();
      grower.bench.run(hours * HOUR_MS);
      grower.bench.restorePower();
      grower.bench.run(HOUR_MS);
    }
    grower.connect();
    const { outageS } = grower.call('clock.set', { unixMs: grower.bench.unixMs });
    expect(outageS).toBeGreaterThan(5 * 3600 - 1);
    expect(outageS).toBeLessThan(5 * 3600 + 12 * 60);
  });
});

describe('what the guard does', () => {
  const sown = () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.run(20 * HOUR_MS);
    return grower;
  };
  const watering = () => {
    const grower = sown();
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.hand.setLid('off');
    return grower;
  };
  const matIsOff = (grower: Grower) => grower.status().heat.on === false;

  for (const [fault, alarm] of [
    ['probe-open', 'probe-open'],
    ['probe-short', 'probe-short'],
    ['mat-probe-open', 'mat-probe-failed'],
  ] as const) {
    it(`${fault}: mat off at once, latched ${alarm}`, () => {
      const grower = sown();
      grower.bench.fault(fault);
      grower.bench.run(5_000);
      expect(matIsOff(grower)).toBe(true);
      expect(grower.alarms()).toContain(alarm);
      grower.bench.fault(fault, false);
      grower.bench.run(HOUR_MS);
      expect(grower.status().heat.heldBy).toBe(alarm);
    });
  }

  for (const [fault, alarm] of [
    ['probe-stuck', 'probe-frozen'],
    ['mat-probe-stuck', 'mat-probe-failed'],
  ] as const) {
    it(`${fault}: mat off within half an hour and a tick, latched ${alarm}`, () => {
      const grower = sown();
      grower.bench.fault(fault);
      grower.bench.run(31 * MINUTE_MS);
      expect(grower.alarms()).toContain(alarm);
      expect(matIsOff(grower)).toBe(true);
      grower.bench.fault(fault, false);
      grower.bench.run(HOUR_MS);
      expect(grower.status().heat.heldBy).toBe(alarm);
    });
  }

  it('a probe that stands still before sowing is no alarm: nothing asks for heat', () => {
    const grower = new Grower();
    grower.bench.fault('probe-stuck');
    grower.bench.fault('mat-probe-stuck');
    grower.bench.run(HOUR_MS);
    expect(grower.alarms()).toEqual([]);
  });

  it('a dead mat: says within two hours that it has no effect', () => {
    const grower = sown();
    grower.bench.fault('mat-dead');
    grower.bench.run(3 * HOUR_MS);
    expect(grower.alarms()).toContain('mat-no-effect');
  });

  it('a mat that will not switch off: says so and sounds', () => {
    const grower = sown();
    grower.bench.fault('mat-stuck-on');
    grower.bench.run(3 * HOUR_MS);
    expect(grower.alarms()).toContain('mat-stuck-on');
  });

  it('a room too cold for the mat: says that the band is out of reach', () => {
    const grower = new Grower({ room: { meanC: 12 } });
    grower.commission();
    grower.bench.run(DAY_MS);
    expect(grower.alarms()).toContain('band-out-of-reach');
    expect(grower.alarms()).not.toContain('mat-no-effect');
  });

  for (const [fault, alarm] of [
    ['scale-unplugged', 'scale-silent'],
    ['scale-saturated', 'scale-saturated'],
  ] as const) {
    it(`${fault}: no dosing, alarm ${alarm}, gone when the scale is back`, () => {
      const grower = sown();
      grower.bench.fault(fault);
      grower.bench.run(MINUTE_MS);
      expect(grower.alarms()).toContain(alarm);
      expect(grower.status().water.heldBy).toBe(alarm);
      grower.bench.fault(fault, false);
      grower.bench.run(MINUTE_MS);
      expect(grower.status().water.heldBy).not.toBe(alarm);
    });
  }

  for (const fault of ['tube-off', 'reservoir-empty'] as const) {
    it(`${fault}: one dose not seen, then none, latched`, () => {
      const grower = watering();
      grower.bench.fault(fault);
      grower.bench.run(9 * DAY_MS);
      expect(grower.alarms()).toContain('dose-not-seen');
      const doses = grower.journal().flatMap((entry) => (entry.kind === 'dose' ? [entry] : []));
      expect(doses.filter(({ verdict }) => verdict === 'not-seen')).toHaveLength(1);
    });
  }

  it('the daily cap: doses stop below it, say why, and go on when the window has passed', () => {
    const grower = new Grower();
    const [hold, feed] = TEST_PROFILE.stages;
    if (hold === undefined || feed?.watering == null)
      throw new Error('the test profile lacks a stage');
    const watering = { ...feed.watering, maxDayMl: 100 };
    grower.commission({ ...TEST_PROFILE, stages: [hold, { ...feed, watering }] });
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.hand.setLid('off');
    let capped = 0;
    for (let hour = 0; hour < 6 * 24; hour++) {
      grower.bench.run(HOUR_MS);
      const { water, alarms } = grower.status();
      expect(water.dayMl).toBeLessThanOrEqual(100);
      if (alarms.some(({ alarm }) => alarm === 'day-cap-reached')) capped++;
    }
    expect(capped).toBeGreaterThan(0);
    expect(grower.status().water.stageMl).toBeGreaterThan(200);
  });

  it('a siphon: water that runs in with the pump off', () => {
    const grower = sown();
    grower.bench.fault('siphon', true, 30 * MINUTE_MS);
    grower.bench.run(HOUR_MS);
    expect(grower.alarms()).toContain('weight-rising');
  });

  it('a wick over the rim: weight that falls faster than plants drink', () => {
    const grower = sown();
    grower.bench.fault('wick');
    grower.bench.run(HOUR_MS);
    expect(grower.alarms()).toContain('weight-falling');
  });

  it('a hand on the tray: no dose until the weight has been quiet for two minutes', () => {
    const grower = sown();
    const before = grower.status().water.dryBackShare ?? Number.NaN;
    grower.bench.hand.liftTray(30_000);
    grower.bench.run(35_000);
    expect(grower.status().water.heldBy).toBe('handling');
    grower.bench.run(6 * MINUTE_MS);
    expect(grower.status().water.heldBy).toBe('hold');
    expect(grower.status().water.dryBackShare).toBeCloseTo(before, 2);
    const handling = grower.journal().filter(({ kind }) => kind === 'handling');
    expect(handling.length).toBeGreaterThanOrEqual(2);
  });
});

describe('a new profile', () => {
  it('that the board cannot write down is refused: the old one runs on, and after a power cut too', () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.run(HOUR_MS);
    const before = grower.status();
    const { settings } = FLASH_MAP;
    const wear = (worn: boolean) => {
      for (let at = 0; at < settings.bytes; at += FLASH_SECTOR_BYTES) {
        grower.bench.flash.setWorn(settings.offset + at, worn);
      }
    };
    wear(true);
    expect(() => grower.load({ ...TEST_PROFILE, title: 'Warmer' }, 1)).toThrow(
      /could not write its settings, so nothing was changed/,
    );
    const { profile, stage } = grower.status();
    expect({ profile, stage }).toEqual({ profile: before.profile, stage: before.stage });
    wear(false);
    grower.bench.cutPower();
    grower.bench.run(1000);
    grower.bench.restorePower();
    grower.connect();
    expect(grower.status().profile).toEqual(before.profile);
    expect(grower.status().stage?.index).toBe(0);
    const actions = grower.journal().flatMap((e) => (e.kind === 'profile' ? [e.action] : []));
    expect(actions).toEqual(['loaded', 'loaded', 'refused']);
  });

  it('replaces the running one in one step, and the tray goes on in the stage the grower chose', () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.run(HOUR_MS);
    const id = grower.load({ ...TEST_PROFILE, title: 'Warmer' }, 0);
    expect(grower.status().profile?.id).toBe(id);
    expect(grower.status().stage?.runS).toBeGreaterThan(3500);
    grower.bench.cutPower();
    grower.bench.run(1000);
    grower.bench.restorePower();
    grower.bench.run(MINUTE_MS);
    grower.connect();
    expect(grower.status().profile?.id).toBe(id);
  });
});
