/** What a reader of the page sees after pressing its buttons. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Plot } from '../../cli/report/plot/model';
import { type Act, Shown } from '../../cli/report/zoom/shown';
import { holds } from '../properties';

const DAY_MIN = 1_440;
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
const anyAct = fc.constantFrom<Act>('in', 'out', 'earlier', 'later', 'day', 'whole');

describe('what is shown', () => {
  it('is all at first, then the last day, and all again', () => {
    const shown = new Shown(PLOT);
    expect(shown).toMatchObject({ from: 0, to: PLOT.lengthMin });
    shown.act('day');
    expect(shown).toMatchObject({ from: 9 * DAY_MIN, to: 10 * DAY_MIN });
    expect(shown.text).toBe('Shown: 10 Mar 00:00 to 11 Mar 00:00');
    shown.act('whole');
    expect(shown).toMatchObject({ from: 0, to: PLOT.lengthMin });
  });

  it('lies within the journal, an hour at least, whatever is pressed', () => {
    holds(
      fc.property(fc.array(anyAct), (acts) => {
        const shown = new Shown(PLOT);
        for (const act of acts) shown.act(act);
        expect(shown.from).toBeGreaterThanOrEqual(0);
        expect(shown.to).toBeLessThanOrEqual(PLOT.lengthMin);
        expect(shown.to - shown.from).toBeGreaterThanOrEqual(59.9);
      }),
    );
  });

  it('comes no closer than an hour', () => {
    const shown = new Shown(PLOT);
    for (let i = 0; i < 20; i++) shown.act('in');
    expect(shown.to - shown.from).toBe(60);
  });

  it('is closer round the place that is pointed at', () => {
    const shown = new Shown(PLOT);
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
    const shown = new Shown(PLOT);
    shown.at = 2;
    expect(shown.text).toBe(
      '1 Mar 00:00, root zone 26.0 °C, mat 40 %, 4590 g, dry-back 0.1 % (scale alone 0.1 %)',
    );
    shown.at = 6;
    expect(shown.text).toContain('root zone -');
  });

  it('is nothing where no reading is near', () => {
    const shown = new Shown(PLOT);
    shown.at = 60;
    expect(shown.text).toBe('1 Mar 01:00: no reading');
  });
});
