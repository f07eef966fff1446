/** What marks and matting say of the known weights. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from './grower';
import { doses, profileWith, runToDose, sownTray, wateredTray } from './scenes';

const [TEST_MEDIUM] = TEST_PROFILE.media;
if (TEST_MEDIUM === undefined) throw new Error('the test profile has no medium');

describe('a tray that is marked soaked again', () => {
  /** Four days later it weighs so much more, g. What it weighed before, and after. */
  function soakedAgain(moreG: number) {
    const grower = sownTray();
    grower.bench.run(4 * DAY_MS);
    const { capacityG, dryG } = grower.status().water;
    if (capacityG === null || dryG === null) throw new Error('the weights are unknown');
    grower.call('mark.set', { mark: 'soaked', trayG: capacityG + moreG });
    return { grower, capacityG, dryG, after: grower.status().water };
  }

  it('weighs more by its plants, and not by more water: dry it would weigh as much more', () => {
    const { capacityG, dryG, after } = soakedAgain(100);
    expect(after.capacityG).toBeCloseTo(capacityG + 100, 1);
    expect(after.dryG).toBeCloseTo(dryG + 100, 1);
  });

  it('has its plants grow on at the pace that was weighed', () => {
    const { grower, after } = soakedAgain(100);
    expect(after.grownG).toBeLessThan(1);
    grower.bench.run(DAY_MS);
    // 100 g in the five days since it was soaked the first time.
    const { grownG, grownOffG } = grower.status().water;
    expect(Math.abs(grownG - 100 / 4.85)).toBeLessThan(1);
    expect(grownOffG).toBeGreaterThan(5);
  });

  it('and was not filled tells nothing of its plants: dry it weighs what it did', () => {
    const { capacityG, dryG, after } = soakedAgain(-100);
    expect(after.capacityG).toBeCloseTo(capacityG - 100, 1);
    expect(after.dryG).toBeCloseTo(dryG, 1);
  });
});

describe('a tray into which a welded pump runs', () => {
  it('is refused as soaked, and keeps the weights that it had', () => {
    const grower = sownTray();
    const { bench } = grower;
    const before = grower.status().water;
    bench.fault('pump-stuck-on', true, HOUR_MS);
    bench.hand.soak();
    bench.run(30 * MINUTE_MS);
    expect(() => grower.call('mark.set', { mark: 'soaked' })).toThrow(
      /has gained \d+\.?\d* g in ten minutes: water still runs into it/,
    );
    expect(grower.status().water.capacityG).toBe(before.capacityG);
  });
});

describe('a tray into which a siphon runs as fast as it runs off', () => {
  it('is refused as soaked until that is mended, and its doses are seen afterwards', () => {
    const grower = wateredTray();
    const { bench } = grower;
    const { capacityG } = grower.status().water;
    bench.hand.soak();
    bench.run(HOUR_MS);
    bench.fault('siphon', true, 3 * HOUR_MS);
    bench.run(2.5 * HOUR_MS);
    expect(bench.rig.plant.wool.channelG).toBeGreaterThan(50);
    expect(() => grower.call('mark.set', { mark: 'soaked' })).toThrow(
      /alarm weight-rising stands: water may still run into the tray.*alarm mended weight-rising/,
    );
    expect(grower.status().water.capacityG).toBe(capacityG);
    bench.run(2 * HOUR_MS);
    // What ran in, and what ran off as that ended.
    for (const alarm of ['weight-rising', 'weight-falling'] as const) {
      grower.call('alarm.clear', { alarm });
    }
    grower.call('mark.set', { mark: 'soaked' });
    runToDose(grower);
    bench.run(HOUR_MS);
    expect(doses(grower).at(-1)?.verdict).toBe('seen');
  });
});

describe('a tray that loses water while it is marked soaked', () => {
  it('to a cloth over its rim is refused, keeps the weights it had, and is taken once the cloth is gone', () => {
    const grower = sownTray();
    const { bench } = grower;
    const before = grower.status().water;
    bench.fault('wick');
    bench.hand.soak();
    bench.run(30 * MINUTE_MS);
    expect(() => grower.call('mark.set', { mark: 'soaked' })).toThrow(
      /has lost [89]\d\.?\d* g in ten minutes of the last 20: it drains still, or a leak or a cloth draws water/,
    );
    expect(grower.status().water.capacityG).toBe(before.capacityG);
    bench.fault('wick', false);
    bench.hand.soak();
    bench.run(30 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    expect(Math.abs((grower.status().water.capacityG ?? 0) - (before.capacityG ?? 0))).toBeLessThan(
      10,
    );
  });
});

describe('a soaked tray from which a cloth drew water until minutes before it is marked', () => {
  it.each([
    ['by itself', () => {}],
    ['by a hand at the tray', ({ bench }: Grower) => bench.hand.shakeOff(0)],
  ])('is refused where the cloth went %s, keeps its weights and is as dry as it is', (_, hand) => {
    const grower = sownTray();
    const { bench } = grower;
    const { capacityG } = grower.status().water;
    bench.fault('wick');
    bench.hand.soak();
    bench.run(22 * MINUTE_MS);
    bench.fault('wick', false);
    hand(grower);
    bench.run(8 * MINUTE_MS);
    expect(() => grower.call('mark.set', { mark: 'soaked' })).toThrow(
      /has lost [89]\d\.?\d* g in ten minutes of the last 20: it drains still, or a leak or a cloth/,
    );
    expect(grower.status().water.capacityG).toBe(capacityG);
    const { wool } = bench.rig.plant;
    const trueShare = 1 - wool.heldG / wool.capacityG;
    expect(trueShare).toBeGreaterThan(0.03);
    expect(grower.status().water.dryBackShare).toBeCloseTo(trueShare, 2);
  });
});

describe('a weight of the soaked tray that the grower gives', () => {
  it('is taken while a cloth draws water, for it was found before; and the cloth is an alarm all the same', () => {
    const grower = sownTray();
    const { bench } = grower;
    const { capacityG } = grower.status().water;
    if (capacityG === null) throw new Error('the weights are unknown');
    bench.fault('wick');
    bench.hand.soak();
    bench.run(30 * MINUTE_MS);
    expect(() => grower.call('mark.set', { mark: 'soaked' })).toThrow(/ in ten minutes/);
    expect(grower.alarms()).toEqual([]);
    grower.call('mark.set', { mark: 'soaked', trayG: capacityG + 20 });
    expect(grower.status().water.capacityG).toBeCloseTo(capacityG + 20, 1);
    bench.run(6 * HOUR_MS);
    expect(grower.alarms()).toContain('weight-falling');
  });
});

describe('moist wool that is marked dry', () => {
  /** 36 plugs: with all their water they weigh no more than many a dry tray of wider plugs does. */
  const MEDIUM = { ...TEST_MEDIUM, pieces: 36 };
  const PLUGS = profileWith({ profile: { media: [MEDIUM] } });
  /** By a cloth that dries it beside its scale. */
  const DRIED_SHARE = 0.1;

  /** With nine tenths of its water, on a board that knows none of its weights. */
  function unknownTray(): Grower {
    const grower = new Grower({ medium: MEDIUM });
    grower.calibrateScale();
    grower.load(PLUGS);
    const { hand, rig } = grower.bench;
    rig.plant.wool.heldG = 0.9 * rig.plant.wool.capacityG;
    hand.putTray();
    grower.bench.run(10 * MINUTE_MS);
    return grower;
  }

  function driedBeside({ bench }: Grower): void {
    const { wool } = bench.rig.plant;
    bench.hand.takeTray();
    bench.run(30 * MINUTE_MS);
    wool.heldG -= DRIED_SHARE * wool.capacityG;
    bench.hand.putTray();
    bench.run(10 * MINUTE_MS);
  }

  it('under a sown crop is not dry by what is known of it: its weights stay, and so does its heat after drying beside the scale', () => {
    const grower = new Grower({ medium: MEDIUM });
    const { bench } = grower;
    grower.commission(PLUGS);
    bench.run(20 * HOUR_MS);
    const { capacityG, dryG } = grower.status().water;
    expect(() => grower.call('mark.set', { mark: 'dry' })).toThrow(
      /the tray holds 1[45]\d\d g of water: it is not dry.* mark dry --weight/,
    );
    expect(grower.status().water).toMatchObject({ capacityG, dryG });
    driedBeside(grower);
    expect(grower.status().heat.heldBy).toBe(null);
    // Whoever knows better says so.
    grower.call('mark.set', { mark: 'dry', trayG: (dryG ?? 0) + 50 });
    expect(grower.status().water.dryG).toBeCloseTo((dryG ?? 0) + 50, 1);
  });

  it('shows as the tray is soaked: it is refused with the dry weight by the profile, and taken with that', () => {
    const grower = unknownTray();
    const { bench } = grower;
    grower.call('mark.set', { mark: 'dry' });
    bench.hand.soak();
    bench.run(30 * MINUTE_MS);
    expect(() => grower.call('mark.set', { mark: 'soaked' })).toThrow(
      /would be 1\d\d g of water, and these pieces hold 14\d\d g.* dry, 3\d\d g by the profile: mark dry --weight/,
    );
    grower.call('mark.set', { mark: 'dry', trayG: bench.state().tray.dryG });
    grower.call('mark.set', { mark: 'soaked' });
    expect(grower.status().water.dryBackShare).toBeCloseTo(0, 2);
  });

  it('and was not soaked since takes no heat from a tray that comes back drier', () => {
    const grower = unknownTray();
    grower.call('mark.set', { mark: 'dry' });
    grower.bench.hand.sow();
    grower.call('mark.set', { mark: 'sown' });
    grower.bench.run(HOUR_MS);
    driedBeside(grower);
    expect(grower.status().heat.heldBy).toBe(null);
  });
});

describe('matting under the plugs', () => {
  const MATTING = {
    by: 'capillary-matting',
    areaM2: 0.13,
    dryG: 60,
    holdsMl: 240,
    outlets: 0,
  } as const;

  /** 98 plugs on matting, soaked and drained; nobody has weighed them dry. */
  function onMatting(): Grower {
    const grower = new Grower({ under: MATTING });
    grower.calibrateScale();
    grower.load(profileWith({ profile: { spread: MATTING }, watering: { doseMl: 150 } }));
    grower.bench.hand.putTray();
    return grower;
  }

  function soaked(grower: Grower): Grower {
    grower.bench.hand.soak();
    grower.bench.run(90 * MINUTE_MS);
    return grower;
  }

  /** How far the board's dry weight is from the true one, g. */
  function offG(grower: Grower): number {
    return (grower.status().water.dryG ?? Number.NaN) - grower.bench.state().tray.dryG;
  }

  it('holds water that is in no piece: a dry weight that nobody has taken is reckoned with it', () => {
    const grower = soaked(onMatting());
    grower.call('mark.set', { mark: 'soaked' });
    expect(Math.abs(offG(grower))).toBeLessThan(30);
  });

  it('takes no dose that is too small to wet it through, little as may be missing', () => {
    const grower = new Grower({ under: MATTING });
    // From start to stop share 80 ml are missing; of less than 120 ml not every plug gets any.
    grower.commission(profileWith({ profile: { spread: MATTING }, watering: { doseMl: 150 } }));
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.hand.setLid('off');
    grower.bench.run(2 * DAY_MS);
    const plannedMl = doses(grower).map((dose) => dose.plannedMl);
    expect(plannedMl.length).toBeGreaterThan(2);
    expect(Math.min(...plannedMl)).toBeGreaterThanOrEqual(120);
  });

  it('stays when plugs go: what is left is reckoned rightly, and dries back as it does', () => {
    const grower = soaked(onMatting());
    grower.call('mark.set', { mark: 'soaked' });
    grower.bench.hand.sow();
    grower.call('mark.set', { mark: 'sown' });
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.hand.split(49);
    grower.call('mark.set', { mark: 'moved', pieces: 49 });
    soaked(grower).call('mark.set', { mark: 'soaked' });
    expect(Math.abs(offG(grower))).toBeLessThan(30);
    grower.bench.hand.setLid('off');
    grower.bench.run(12 * 60 * MINUTE_MS);
    const { dryBackShare } = grower.bench.state().tray;
    expect(dryBackShare).toBeGreaterThan(0.05);
    const told = grower.status().water.dryBackShare ?? Number.NaN;
    expect(Math.abs(told - dryBackShare)).toBeLessThan(0.01);
  });

  it('a tray half of whose plugs have gone unsaid is refused as soaked, and what it should weigh is told', () => {
    const grower = soaked(onMatting());
    grower.bench.hand.split(49);
    soaked(grower);
    // 98 plugs of wool, matting and their water: 4,713 g; 85 % of it at least.
    expect(() => grower.call('mark.set', { mark: 'soaked' })).toThrow(
      /not soaked, or not all there: by the profile it weighs 400\d g at least/,
    );
  });

  it('weighs what wool and matting weigh dry, at the least, in wool that holds less than the profile says', () => {
    const grower = onMatting();
    expect(grower.call('mark.set', { mark: 'soaked', trayG: 4_300 }).dryG).toBeCloseTo(415.6, 0);
  });
});
