import { describe, expect, it } from 'vitest';
import { Drainage } from '../../firmware/control/drainage';

/** The weight found in `minutes` after water, by the weight of each; NaN when none was. */
function foundIn(minutes: number, gramsAt: (minute: number) => number, watch = new Drainage()) {
  watch.watered();
  let found = Number.NaN;
  for (let i = 0; i < minutes; i++) {
    const capacityG = watch.minute(gramsAt(i));
    if (!Number.isNaN(capacityG)) found = capacityG;
  }
  return found;
}

/** So much over capacity runs out, halving in 5 min, while the tray dries by `gPerH`. */
const draining = (overG: number, gPerH: number) => (minute: number) =>
  4_600 + overG * 0.5 ** (minute / 5) - (gPerH * minute) / 60;

describe('a tray that was watered', () => {
  it.each([0, 3, 15, 60])(
    'until it drains tells its container capacity within the hour, while it dries by %i g/h',
    (gPerH) => {
      const found = foundIn(70, draining(120, gPerH));
      expect(found).toBeLessThan(4_601.5);
      expect(found).toBeGreaterThan(4_599 - gPerH);
    },
  );

  it('less than it holds tells nothing, whether the pump gave all, half or nothing of it', () => {
    for (const gainG of [120, 60, 0]) {
      expect(foundIn(120, (minute) => 4_300 + gainG - minute * 0.25)).toBeNaN();
    }
  });

  it('and leaks tells nothing: a leak does not end', () => {
    expect(foundIn(120, (minute) => 4_600 - minute * 3)).toBeNaN();
    expect(foundIn(120, (minute) => 4_600 - minute * 12)).toBeNaN();
  });

  it('by a dose that ran a little past dry wool tells nothing', () => {
    expect(foundIn(120, draining(6, 4))).toBeNaN();
  });

  it('and touched while it drains tells nothing, and tells once at most', () => {
    const watch = new Drainage();
    foundIn(5, draining(120, 3), watch);
    watch.interrupt();
    expect(watch.minute(4_600)).toBeNaN();
    foundIn(60, draining(120, 3), watch);
    expect(watch.minute(4_590)).toBeNaN();
  });
});
