/** The time axis of a report: whatever is shown of it, its labels can be read. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { timeAxis } from '../../cli/report/plot/axes';
import { DAY_MIN } from '../../shared/units/time';
import { holds } from '../properties';
import { plotOfReport } from './made-report';

/** A digit is no narrower than this in the type of the page, px. */
const DIGIT_PX = 5.5;

/** Where each label begins and ends across, px. */
function extents(markup: string): readonly (readonly [number, number])[] {
  return [...markup.matchAll(/x="([\d.]+)" y="[\d.]+" text-anchor="(\w+)">([^<]+)</g)].map(
    ([, x, anchor, label = '']) => {
      const wide = label.length * DIGIT_PX;
      const from = Number(x) - (anchor === 'start' ? 0 : anchor === 'end' ? wide : wide / 2);
      return [from, from + wide] as const;
    },
  );
}

describe('the days below a plot', () => {
  it('never run into each other, whatever part is shown and however wide', () => {
    const plot = plotOfReport();
    holds(
      fc.property(
        fc.integer({ min: 0, max: 3 * DAY_MIN }),
        fc.integer({ min: 60, max: 40 * DAY_MIN }),
        fc.integer({ min: 300, max: 1200 }),
        (from, long, widthPx) => {
          const drawn = extents(timeAxis(plot, { from, to: from + long, widthPx }, 0, 100).text);
          expect(drawn.length).toBeGreaterThan(0);
          drawn.forEach(([begins], i) => {
            expect(begins).toBeGreaterThan(drawn[i - 1]?.[1] ?? Number.NEGATIVE_INFINITY);
          });
        },
      ),
    );
  });
});
