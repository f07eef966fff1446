/** What a reader of the page sees after pressing its buttons. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Pair } from '../../cli/report/compare/pair';
import type { Plot } from '../../cli/report/plot/model';
import { pairScene } from '../../cli/report/zoom/pair';
import { seasonScene } from '../../cli/report/zoom/season';
import { type Act, Shown } from '../../cli/report/zoom/shown';
import { DAY_MIN } from '../../shared/units/time';
import { holds } from '../properties';

const PLOT: Plot = {
  ...{ fromUnixMs: Date.UTC(2026, 2, 1), offsetMin: 0, lengthMin: 10 * DAY_MIN },
  ...{ temperatureUnit: '°C', massUnit: 'g' },
  rows: {
    minutes: [0, 5],
    ...{ rootZone: [26.04, null], duty: [40, 0], weight: [4590.2, 4590.1] },
    ...{ dryBack: [0.1, 0.11], rawDryBack: [0.1, null] },
  },
  ...{ bands: [], levels: [], stages: [], lids: [], marks: [], doses: [] },
  ...{ incidents: [], alarms: [], blanks: [] },
};
/** Sown half a day into its plot, and one sown at its beginning that ran four days. */
const PAIR: Pair = {
  sides: [
    { plot: PLOT, sownMin: DAY_MIN / 2, days: 9.5, fed: [{ day: 3, eachMl: 2 }] },
    { plot: { ...PLOT, lengthMin: 4 * DAY_MIN }, sownMin: 0, days: 4, fed: [] },
  ],
  commonDays: 4,
};
const anyAct = fc.constantFrom<Act>('in', 'out', 'earlier', 'later', 'part', 'whole');

describe('what is shown', () => {
  it('is all at first, then the last day, and all again', () => {
    const shown = new Shown(seasonScene(PLOT));
    expect(shown).toMatchObject({ from: 0, to: PLOT.lengthMin });
    shown.act('part');
    expect(shown).toMatchObject({ from: 9 * DAY_MIN, to: 10 * DAY_MIN });
    expect(shown.text).toBe('Shown: 10 Mar 00:00 to 11 Mar 00:00');
    shown.act('whole');
    expect(shown).toMatchObject({ from: 0, to: PLOT.lengthMin });
  });

  it('lies within the journal, an hour at least, whatever is pressed', () => {
    holds(
      fc.property(fc.array(anyAct), (acts) => {
        for (const scene of [seasonScene(PLOT), pairScene(PAIR)]) {
          const shown = new Shown(scene);
          for (const act of acts) shown.act(act);
          expect(shown.from).toBeGreaterThanOrEqual(scene.whole.from);
          expect(shown.to).toBeLessThanOrEqual(scene.whole.to + 1e-6);
          expect(shown.to - shown.from).toBeGreaterThanOrEqual(59.9);
        }
      }),
    );
  });

  it('comes no closer than an hour', () => {
    const shown = new Shown(seasonScene(PLOT));
    for (let i = 0; i < 20; i++) shown.act('in');
    expect(shown.to - shown.from).toBe(60);
  });

  it('is closer round the place that is pointed at', () => {
    const shown = new Shown(seasonScene(PLOT));
    shown.at = 3 * DAY_MIN;
    shown.act('in');
    expect(shown).toMatchObject({ from: 1.5 * DAY_MIN, to: 6.5 * DAY_MIN });
    // Pointed at long ago, and out of sight now.
    shown.at = 9 * DAY_MIN;
    shown.act('in');
    expect(shown).toMatchObject({ from: 2.75 * DAY_MIN, to: 5.25 * DAY_MIN });
  });
});

describe('what is read where a reader points', () => {
  it('is the nearest reading, with its time', () => {
    const shown = new Shown(seasonScene(PLOT));
    shown.at = 2;
    expect(shown.text).toBe(
      '1 Mar 00:00, root zone 26.0 °C, mat 40 %, 4590 g, dry-back 0.1 % (scale alone 0.1 %)',
    );
    shown.at = 6;
    expect(shown.text).toContain('root zone -');
  });

  it('is nothing where no reading is near', () => {
    const shown = new Shown(seasonScene(PLOT));
    shown.at = 60;
    expect(shown.text).toBe('1 Mar 01:00: no reading');
  });
});

describe('what is shown of two seasons', () => {
  it('is the time of both from before their sowing, then the days that both have', () => {
    const shown = new Shown(pairScene(PAIR));
    expect(shown).toMatchObject({ from: -DAY_MIN / 4, to: 9.5 * DAY_MIN });
    shown.act('part');
    expect(shown).toMatchObject({ from: -DAY_MIN / 4, to: 4 * DAY_MIN });
    expect(shown.text).toBe('Shown: day -0.25 to day 4.00 from sowing');
  });

  it('is read of each at its own time, the same from sowing', () => {
    const shown = new Shown(pairScene(PAIR));
    shown.at = 3;
    expect(shown.text.split('\n')).toEqual([
      'day 0.00 from sowing',
      'A: 1 Mar 12:03: no reading',
      'B: 1 Mar 00:05, root zone -, mat 0 %, 4590 g, dry-back 0.1 % (scale alone -)',
    ]);
  });

  it('is nothing where one of them had not begun, or was over', () => {
    const shown = new Shown(pairScene(PAIR));
    shown.at = -60;
    expect(shown.text).toContain('B: its journal begins later');
    shown.at = 5 * DAY_MIN;
    expect(shown.text).toContain('A: 6 Mar 12:00: no reading');
    expect(shown.text).toContain('B: its journal ends before');
  });
});
