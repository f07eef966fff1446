/** What growers do daily raises nothing that stays, and what harms the plants is said in its own name. */
import { describe, expect, it } from 'vitest';
import { ALARMS } from '../../shared/alarms/catalogue';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower } from './grower';
import { changesOf, doses, profileWith, sownTray, stateOfAlarm, wateredTray } from './scenes';

/** Alarms that a person would have had to mend, as often as they came. */
const latchedIn = (grower: Grower): string[] =>
  grower
    .journal()
    .flatMap((entry) =>
      entry.kind === 'alarm' && entry.change === 'raised' && ALARMS[entry.alarm].latched
        ? [entry.alarm]
        : [],
    );

/** What holds heat and water off now. */
const heldOff = (grower: Grower) => {
  const { heat, water } = grower.status();
  return { heat: heat.heldBy, water: water.heldBy };
};

function cutFor(grower: Grower, ms: number): void {
  grower.bench.cutPower();
  grower.bench.run(ms);
  grower.bench.restorePower();
  grower.bench.run(MINUTE_MS);
  grower.connect();
}

describe('an ordinary day', () => {
  it.each([16, 20, 24, 28])(
    'in a room of %i C: aired, misted, lifted, refilled; nothing latches',
    (meanC) => {
      const grower = sownTray({}, { room: { meanC } });
      const { bench } = grower;
      for (let day = 0; day < 4; day++) {
        bench.run(6 * HOUR_MS);
        bench.hand.setLid('propped');
        bench.run(5 * MINUTE_MS);
        bench.hand.setLid('closed');
        bench.run(2 * HOUR_MS);
        bench.hand.mist(5 + 8 * day);
        bench.run(2 * HOUR_MS);
        bench.hand.liftTray(40_000);
        bench.run(HOUR_MS);
        bench.hand.refill();
        grower.call('mark.set', { mark: 'refilled' });
        bench.run(12 * HOUR_MS);
      }
      expect(latchedIn(grower)).toEqual([]);
      expect(grower.status().heat.heldBy).toBe(null);
    },
  );

  const ORDINARY: readonly (readonly [string, (grower: Grower) => void])[] = [
    ['the lamp raised', ({ bench }) => bench.hand.hangLamp(2)],
    [
      'the lamp raised and hung low again',
      ({ bench }) => {
        bench.hand.hangLamp(2);
        bench.run(6 * HOUR_MS);
        bench.hand.hangLamp(1);
      },
    ],
    ['the lamp switched off by day', ({ bench }) => bench.hand.switchLamp('off')],
    ['the lamp burning day and night', ({ bench }) => bench.hand.switchLamp('on')],
    ['two hours of sun on the tray', ({ bench }) => bench.hand.letSunIn(2 * HOUR_MS)],
    ['the mains cut for 6 s', (grower) => cutFor(grower, 6_000)],
    ['the mains cut for 10 min', (grower) => cutFor(grower, 10 * MINUTE_MS)],
    ['the mains cut for 6 h', (grower) => cutFor(grower, 6 * HOUR_MS)],
    ['the mains cut for 48 h', (grower) => cutFor(grower, 2 * DAY_MS)],
  ];

  it.each(ORDINARY)('with %s latches nothing, and holds nothing off a day later', (_, happens) => {
    const stages = [
      [sownTray, { heat: null, water: 'hold' }],
      [wateredTray, { heat: null, water: null }],
    ] as const;
    for (const [tray, held] of stages) {
      const grower = tray({}, { room: { meanC: 20 } });
      grower.call('clock.set', { unixMs: grower.bench.unixMs });
      grower.bench.run(4 * HOUR_MS);
      happens(grower);
      grower.bench.run(DAY_MS);
      expect(latchedIn(grower)).toEqual([]);
      expect(heldOff(grower)).toEqual(held);
    }
  });

  it('with a tray lifted and aired whose probe slips out for minutes locks no heat off', () => {
    const grower = sownTray({}, { room: { meanC: 16 } });
    const { bench } = grower;
    bench.hand.setLid('off');
    bench.hand.liftTray(40_000);
    bench.hand.moveProbe(5 * MINUTE_MS);
    bench.run(10 * MINUTE_MS);
    bench.hand.setLid('closed');
    bench.run(HOUR_MS);
    expect(latchedIn(grower)).toEqual([]);
    expect(grower.status().heat.heldBy).toBe(null);
  });

  it.each(['before', 'after'] as const)(
    'a transplant marked %s it is done locks no heat off',
    (when) => {
      const grower = wateredTray(
        { feed: { band: { lowC: 22, highC: 23 } } },
        { room: { meanC: 16 } },
      );
      const { bench } = grower;
      bench.run(DAY_MS);
      if (when === 'before') grower.call('mark.set', { mark: 'transplanted' });
      bench.hand.takeTray();
      bench.run(20 * MINUTE_MS);
      bench.hand.transplant();
      // The probe lies on the bench until it is pushed into a block.
      bench.hand.moveProbe(5 * MINUTE_MS);
      bench.run(30 * MINUTE_MS);
      if (when === 'after') grower.call('mark.set', { mark: 'transplanted' });
      bench.run(MINUTE_MS);
      grower.call('mark.set', { mark: 'soaked' });
      bench.run(6 * HOUR_MS);
      expect(stateOfAlarm(grower, 'probe-jumped')).toBe('normal');
      expect(grower.status().heat.heldBy).toBe(null);
    },
  );
});

describe('a room hotter than a cool crop bears', () => {
  it('is said once in a week of warm days and a transplant, and locks no heat off', () => {
    const cool = { lowC: 15.5, highC: 18.5 };
    const grower = wateredTray(
      { profile: { rootZoneMaxC: 25 }, hold: { band: cool }, feed: { band: cool } },
      { room: { meanC: 26 } },
    );
    const { bench } = grower;
    bench.run(3 * DAY_MS);
    bench.hand.takeTray();
    bench.run(20 * MINUTE_MS);
    bench.hand.transplant();
    grower.call('mark.set', { mark: 'transplanted' });
    bench.run(30 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    bench.run(4 * DAY_MS);
    expect(changesOf(grower, 'root-zone-hot')).toEqual([]);
    expect(changesOf(grower, 'too-warm').filter((c) => c === 'raised').length).toBeLessThan(3);
    expect(stateOfAlarm(grower, 'too-warm')).toBe('unaccepted');
    expect(grower.status().heat.heldBy).toBe(null);
  });
});

describe('the water a stage opens with', () => {
  const opening = { byS: 2 * 86_400, stopShare: 0 };

  it('comes by its latest day, wet as the tray may still be, as one whole dose at least', () => {
    const grower = sownTray({ feed: { opening } });
    const { bench } = grower;
    grower.call('mark.set', { mark: 'emerged' });
    bench.run(2 * DAY_MS - HOUR_MS);
    expect(doses(grower)).toEqual([]);
    bench.run(3 * HOUR_MS);
    const [first] = doses(grower);
    expect(first).toMatchObject({ reason: 'opening', verdict: 'seen' });
    expect(first?.plannedMl).toBeGreaterThan(39);
    const { plantsMl, eachMl, eachSaltsMg } = grower.status().water;
    expect(plantsMl).toBeGreaterThan(35);
    // 98 plugs, at EC 0.8: 640 mg/l for each mS/cm.
    expect(eachMl).toBeCloseTo(plantsMl / 98, 1);
    expect(eachSaltsMg).toBeCloseTo((plantsMl / 98) * 0.8 * 0.64, 1);
  });

  it('is not given twice over a power cut', () => {
    const grower = sownTray({ feed: { opening: { byS: 0, stopShare: 0.02 } } });
    const { bench } = grower;
    grower.call('mark.set', { mark: 'emerged' });
    bench.run(2 * HOUR_MS);
    const before = doses(grower).length;
    expect(before).toBeGreaterThan(0);
    bench.cutPower();
    bench.run(MINUTE_MS);
    bench.restorePower();
    bench.run(4 * HOUR_MS);
    expect(doses(grower).length).toBe(before);
  });

  it('is called late when something keeps it from coming', () => {
    const grower = sownTray({ feed: { opening } });
    const { bench } = grower;
    bench.fault('scale-noisy', true, 20 * DAY_MS);
    grower.call('mark.set', { mark: 'emerged' });
    bench.run(3 * DAY_MS);
    expect(stateOfAlarm(grower, 'feed-late')).toBe('unaccepted');
  });
});

describe('the feed in the reservoir', () => {
  it('of another strength holds water for a day, is asked for, and is then used all the same', () => {
    const grower = sownTray({ feed: { opening: { byS: 0, stopShare: 0.02 }, feedEc: 0.8 } });
    const { bench } = grower;
    grower.call('mark.set', { mark: 'refilled', volumeMl: 3_000, feedEc: 2 });
    grower.call('mark.set', { mark: 'emerged' });
    bench.run(12 * HOUR_MS);
    expect(grower.status().water.heldBy).toBe('feed-change');
    expect(stateOfAlarm(grower, 'feed-unlike')).toBe('unaccepted');
    expect(doses(grower)).toEqual([]);
    bench.run(16 * HOUR_MS);
    expect(doses(grower)[0]?.reason).toBe('opening');
  });

  it('is accounted from what was stated, and nothing is guessed before', () => {
    const grower = sownTray();
    expect(grower.status().water.reservoirLeftMl).toBe(null);
    grower.call('mark.set', { mark: 'refilled', volumeMl: 1_500, feedEc: 0.8 });
    expect(grower.status().water).toMatchObject({ reservoirLeftMl: 1_500, reservoirEc: 0.8 });
  });
});

describe('a lid left off in germination', () => {
  it.each([18, 24])(
    'shows within half an hour in a room of %i C, and is over when the lid is back',
    (meanC) => {
      const grower = sownTray({}, { room: { meanC } });
      const { bench } = grower;
      bench.run(4 * HOUR_MS);
      expect(stateOfAlarm(grower, 'drying-fast')).toBe('normal');
      bench.hand.setLid('off');
      bench.run(HOUR_MS / 2);
      expect(stateOfAlarm(grower, 'drying-fast')).toBe('unaccepted');
      bench.hand.setLid('closed');
      bench.run(HOUR_MS);
      expect(stateOfAlarm(grower, 'drying-fast')).toBe('returned');
    },
  );

  it('is no alarm where it was a short airing: a quarter of an hour, three times a day', () => {
    const grower = sownTray();
    const { bench } = grower;
    for (let time = 0; time < 6; time++) {
      bench.run(8 * HOUR_MS - 15 * MINUTE_MS);
      bench.hand.setLid('off');
      bench.run(15 * MINUTE_MS);
      bench.hand.setLid('closed');
    }
    bench.run(HOUR_MS);
    expect(changesOf(grower, 'drying-fast')).toEqual([]);
  });
});

describe('a stage that begins', () => {
  const bandOf = (grower: Grower) => {
    const { stage, heat } = grower.status();
    return [stage?.name, heat.lowC, heat.highC];
  };

  it('is told with its own band at once: asked before any time has passed', () => {
    const grower = sownTray();
    grower.call('stage.next', {});
    expect(bandOf(grower)).toEqual(['first feed', 24, 25]);
    grower.call('mark.set', { mark: 'sown' });
    expect(bandOf(grower)).toEqual(['germinate', 26, 27]);
  });

  it('of a profile just loaded is told with the band of that profile', () => {
    const grower = sownTray();
    grower.load(profileWith({ hold: { band: { lowC: 20, highC: 21 } } }), 0);
    expect(bandOf(grower)).toEqual(['germinate', 20, 21]);
  });
});

describe('a weight that cannot be', () => {
  it('is refused: a dry tray lighter than its wool or full of water, a soaked one over cell or wool', () => {
    const grower = new Grower();
    grower.commission();
    const mark = (mark: 'dry' | 'soaked', trayG: number) => () =>
      grower.call('mark.set', { mark, trayG });
    expect(mark('dry', 151)).toThrow('lighter than its dry wool');
    expect(mark('dry', 4_189)).toThrow('is not dry');
    expect(mark('soaked', 40_000)).toThrow('more than the load cell carries');
    expect(mark('soaked', 9_500)).toThrow('of water, and these pieces hold');
    expect(grower.status().water.dryBackShare).toBeLessThan(0.05);
  });
});
