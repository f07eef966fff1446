/** What a mat gives, by a journal made up of a tray whose mat and room are known. */
import { describe, expect, it } from 'vitest';
import { recordOf } from '../../cli/explain/record';
import { dateEntries } from '../../cli/journal/dating';
import { fitHeat, type HeatSample } from '../../cli/model/heat-fit';
import { matHealthOf } from '../../cli/model/mat';
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
      [found?.aroundC, 18],
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
const health = (made: MadeJournal) =>
  matHealthOf(
    recordOf(dateEntries(made.entries), {
      byId: new Map([[PROFILE_ID, made.profile]]),
      activeId: null,
    }),
  );

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
});
