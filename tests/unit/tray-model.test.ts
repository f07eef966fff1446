/** What a mat gives, by a journal made up of a tray whose mat and room are known. */
import { describe, expect, it } from 'vitest';
import { recordOf } from '../../cli/explain/record';
import { dateEntries } from '../../cli/journal/dating';
import { fitHeat, type HeatSample } from '../../cli/model/heat-fit';
import { matHealthOf } from '../../cli/model/mat';
import { modelFacts } from '../../cli/model/text';
import { trayModelOf } from '../../cli/model/tray';
import { accept } from '../../shared/physics/verdict';
import { MadeJournal, PROFILE_ID } from './made-journal';

const STEP_H = 1 / 60;
const LAG_H = 1 / 30;
const BAND = { lowC: 26, highC: 28 };

/** Minutes of a tray that rises by `rise` K/h on its mat, loses `loss` of its warmth an hour, in a room with a day. */
function samplesOf(rise: number, loss: number, hours: number): HeatSample[] {
  let celsius = 27;
  let on = false;
  let onH = 0;
  let warm = 0;
  const samples: HeatSample[] = [{ atH: 0, rootZoneC: celsius, dutyShare: 0 }];
  for (let minute = 1; minute <= hours * 60; minute++) {
    const atH = minute * STEP_H;
    const roomC = 18 + 2 * Math.sin((atH * Math.PI) / 12);
    if (celsius < BAND.lowC) on = true;
    if (celsius > BAND.highC) on = false;
    // The mat hands its heat on within some two minutes.
    warm = (on ? 1 : 0) + (warm - (on ? 1 : 0)) * Math.exp(-STEP_H / LAG_H);
    celsius += (warm * rise - loss * (celsius - roomC)) * STEP_H;
    onH += on ? STEP_H : 0;
    if (minute % 5 !== 0) continue;
    samples.push({ atH, rootZoneC: celsius, dutyShare: Math.min(1, onH / (5 * STEP_H)) });
    onH = 0;
  }
  return samples;
}

describe('the fit of a tray’s heat', () => {
  it('finds the rise that the mat makes, and the surer the longer it looks', () => {
    const long = fitHeat(samplesOf(3.4, 0.24, 30));
    const short = fitHeat(samplesOf(3.4, 0.24, 12));
    expect(long?.riseKPerH.value).toBeCloseTo(3.4, 1);
    expect(short?.riseKPerH.sd ?? 0).toBeGreaterThan(long?.riseKPerH.sd ?? 1);
    // It knows when within five minutes the mat went on, or off.
    expect(long?.residualK).toBeLessThan(0.004);
    expect(fitHeat([])).toBeNull();
  });

  it('finds what the tray loses, and what surrounds it, however much the room has a day', () => {
    const found = fitHeat(samplesOf(3.4, 0.24, 30));
    for (const [told, truth] of [
      [found?.lossPerH, 0.24],
      [found?.aroundC(), 18],
    ] as const) {
      expect(Math.abs((told?.value ?? 0) - truth)).toBeLessThan(2 * (told?.sd ?? 0));
      expect((told?.sd ?? 1) / truth).toBeLessThan(0.2);
    }
    const open = fitHeat(samplesOf(6, 0.48, 30))?.lossPerH.value ?? 0;
    expect(open / (found?.lossPerH.value ?? 1)).toBeGreaterThan(1.6);
  });

  it('tells a mat from one that is a tenth weaker', () => {
    const strong = fitHeat(samplesOf(3.4, 0.24, 24))?.riseKPerH.value ?? 0;
    const weak = fitHeat(samplesOf(3.06, 0.24, 24))?.riseKPerH.value ?? 0;
    expect(weak / strong).toBeCloseTo(0.9, 2);
  });
});

/** A journal of such a tray, readings every five minutes. */
function madeOf(made: MadeJournal, samples: readonly HeatSample[]): MadeJournal {
  for (const { rootZoneC, dutyShare } of samples)
    made.goOn(1 / 12, { rootC: rootZoneC, duty: dutyShare });
  return made;
}
const recordIn = ({ entries, profile }: Pick<MadeJournal, 'entries' | 'profile'>) =>
  recordOf(dateEntries(entries), { byId: new Map([[PROFILE_ID, profile]]), activeId: null });
const health = (made: MadeJournal) => matHealthOf(recordIn(made));

describe('a mat', () => {
  it('is told in watts by what its tray weighs, with an interval round them', () => {
    const found = health(madeOf(new MadeJournal(), samplesOf(3.4, 0.24, 24)));
    if (!found.ok) throw new Error(found.why);
    const { watts, lowW, highW } = found.value.now;
    // 4053 g of water and what holds it, 17.3 kJ/K, and 0.5 of the mat, rising by 3.4 K/h.
    expect(watts).toBeGreaterThan(16);
    expect(watts).toBeLessThan(18);
    expect(lowW).toBeLessThan(watts);
    expect(highW).toBeGreaterThan(watts);
    expect(found.value).toMatchObject({ first: null, change: null });
    const { heldWhK } = found.value;
    expect(heldWhK.value).toBeCloseTo((17_300 + 270 + 500) / 3600, 1);
    expect(heldWhK.high / heldWhK.low).toBeGreaterThan(1.01);
    expect(heldWhK.high / heldWhK.low).toBeLessThan(1.03);
  });

  it('that got weaker is told so, with how sure that is', () => {
    const made = madeOf(new MadeJournal(), samplesOf(3.4, 0.24, 24));
    made.hand(true, 4590, 4590);
    const found = health(madeOf(made, samplesOf(2.72, 0.24, 24)));
    if (!found.ok) throw new Error(found.why);
    expect(found.value.change?.share).toBeCloseTo(-0.2, 1);
    expect(found.value.change?.high).toBeLessThan(-0.1);
  });

  it('that never went off, or was watched too shortly, is not told', () => {
    const steady = health(new MadeJournal().goOn(48, { duty: 1 }));
    expect(steady).toMatchObject({ ok: false, why: expect.stringContaining('always on') });
    // It goes on and off often enough, and not for long enough.
    expect(health(madeOf(new MadeJournal(), samplesOf(12, 0.5, 8))).ok).toBe(false);
  });

  it('has to spare what it was off for in its hardest hours', () => {
    const made = madeOf(new MadeJournal(), samplesOf(3.4, 0.24, 24));
    const found = health(made);
    if (!found.ok) throw new Error(found.why);
    const { mostDutyShare, spareW, now } = found.value;
    expect(mostDutyShare).toBeGreaterThan(0.5);
    expect(mostDutyShare).toBeLessThan(0.95);
    expect(spareW).toBeCloseTo((1 - mostDutyShare) * now.watts, 6);
  });

  it('that warms its tray up a wide band for hours is not told to be too weak for the night', () => {
    // From 26 to 28 °C it is on for more than three hours on end, and has a sixth of its heat to spare all the same.
    const made = madeOf(new MadeJournal(), samplesOf(3.2, 0.24, 48));
    const found = health(made);
    if (!found.ok) throw new Error(found.why);
    const hardest = (0.24 * (27 - 16)) / 3.2;
    expect(found.value.mostDutyShare).toBeLessThan(hardest + 0.05);
    expect(found.value.mostDutyShare).toBeGreaterThan(hardest - 0.15);
  });

  it('that was on all the time because of a fault is not told to be too weak for the night', () => {
    const made = madeOf(new MadeJournal(), samplesOf(3.4, 0.24, 24));
    const atFault = recordIn(made).toMs;
    made.goOn(6, { rootC: 22, duty: 1 });
    const record = recordIn(madeOf(made, samplesOf(3.4, 0.24, 24)));
    const dutyOf = (found: ReturnType<typeof matHealthOf>): number => {
      if (!found.ok) throw new Error(found.why);
      return found.value.mostDutyShare;
    };
    expect(dutyOf(matHealthOf(record))).toBeCloseTo(1, 6);
    const spoilt = [{ fromMs: atFault, toMs: atFault + 6 * 3_600_000 }];
    expect(dutyOf(matHealthOf(record, undefined, spoilt))).toBeLessThan(0.95);
  });
});

describe('what surrounds the tray', () => {
  // From 18:00 on; the room is 18 C then, 20 C at midnight, 16 C at noon.
  const made = madeOf(new MadeJournal(), samplesOf(3.4, 0.24, 30));
  const { mat, heat, hours } = trayModelOf(recordIn(made));

  it('has a coldest and a warmest hour of the day, each with its interval', () => {
    if (!hours.ok) throw new Error(hours.why);
    const { coldest, warmest } = hours.value;
    expect(hours.value.hours.map(({ hour }) => hour)).toEqual(
      Array.from({ length: 24 }, (_, h) => h),
    );
    expect(Math.abs(coldest.hour + 0.5 - 12)).toBeLessThan(2);
    expect(Math.min(warmest.hour + 0.5, 23.5 - warmest.hour)).toBeLessThan(2);
    expect(coldest.aroundC.low).toBeLessThan(16.1);
    expect(coldest.aroundC.high).toBeGreaterThan(16);
    expect(warmest.aroundC.low).toBeLessThan(20);
    expect(warmest.aroundC.high).toBeGreaterThan(19.9);
  });

  it('is what a mat that is always on is warmer than by its watts over the loss', () => {
    if (!mat.ok || !heat.ok) throw new Error('not told');
    const { reachK, lossWK } = heat.value;
    expect(reachK.value).toBeCloseTo(mat.value.now.watts / lossWK.value, 6);
  });

  it('by the hour means to what it is all day', () => {
    if (!hours.ok || !heat.ok) throw new Error('not told');
    const told = hours.value.hours.map(({ aroundC }) => aroundC.value);
    const mean = told.reduce((sum, one) => sum + one, 0) / told.length;
    expect(Math.abs(mean - heat.value.aroundC.value)).toBeLessThan(0.4);
  });

  it('is not told by the hour where no clock says which', () => {
    const entries = made.entries.filter(({ kind }) => kind !== 'clock');
    const { heat: timeless, hours: none } = trayModelOf(
      recordIn({ ...made, entries, profile: made.profile }),
    );
    expect(timeless.ok).toBe(true);
    expect(none).toMatchObject({ ok: false, why: expect.stringContaining('clock') });
  });

  it('is told of the hours that were read, and no others', () => {
    const night = trayModelOf(recordIn(madeOf(new MadeJournal(), samplesOf(3.4, 0.24, 16)))).hours;
    if (!night.ok) throw new Error(night.why);
    expect(night.value.hours.map(({ hour }) => hour)).not.toContain(12);
    expect(night.value.hours.length).toBeLessThan(18);
  });
});

describe('a zero of the scale that creeps', () => {
  const told = (gPerDay: number, offG: number, days: number) => {
    const scaleZero = accept({
      gPerDay: { value: gPerDay, low: gPerDay - offG, high: gPerDay + offG },
      days,
    });
    const model = { ...trayModelOf(recordIn(new MadeJournal().goOn(24))), scaleZero };
    return modelFacts(model, 'metric', () => '').find(({ label }) => label === 'Scale');
  };

  it.each([
    { why: 'sure after days', gPerDay: -4, days: 5, says: /creeps by .* look for/, tone: 'warn' },
    { why: 'hardly beyond chance', gPerDay: -1.4, days: 5, says: /seems to creep/ },
    { why: 'of one day alone', gPerDay: -4, days: 1, says: /seems to creep/ },
    { why: 'within what it may be off by', gPerDay: 0.5, days: 5, says: /stands, to/ },
  ])('is worth a look only where it is sure: $why', ({ gPerDay, days, says, tone }) => {
    const fact = told(gPerDay, 0.8, days);
    expect(fact?.value).toMatch(says);
    expect(fact?.tone).toBe(tone);
  });
});
