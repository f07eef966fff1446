/** What plants weigh is no water: learnt without a mark when the tray is watered until it drains. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { changesOf, sownTray } from './scenes';

const SLOW_MACHINE_MS = 300_000;

const FEED = { opening: { byS: 7 * 86_400, stopShare: 0.4 }, rescue: { share: 0.6, doseMl: 0 } };
const LATE_WATER = { startShare: 0.5, stopShare: 0.4 };

/** Cucumbers come up in days, each half a gram; emerged and grown under a loose lid. */
function grownTray(): Grower {
  const grower = sownTray({ feed: FEED, watering: LATE_WATER }, { crop: 'cucumber' });
  const { bench } = grower;
  bench.runUntil(() => bench.state().plants.progress >= 1, 12 * DAY_MS);
  grower.call('mark.set', { mark: 'emerged' });
  bench.hand.setLid('loose');
  bench.run(3 * DAY_MS);
  return grower;
}

const capacities = (grower: Grower) =>
  grower.journal().filter((entry) => entry.kind === 'capacity').length;

describe('plants that hide dry-back', () => {
  it(
    'are guessed by their age, and weighed when the tray is watered by hand until it drains',
    () => {
      const grower = grownTray();
      const { bench } = grower;
      const before = grower.status().water;
      const plantsG = bench.state().plants.massG;
      expect(before.grownG).toBeGreaterThan(0);
      expect(before.grownOffG).toBeGreaterThan(0);
      // The water that is missing and half a litre more.
      bench.hand.mist(bench.state().tray.dryBackShare * 4_064 + 500);
      bench.run(2 * HOUR_MS);
      const { capacityG, dryBackShare, grownG } = grower.status().water;
      expect((capacityG ?? 0) - (before.capacityG ?? 0)).toBeGreaterThan(plantsG - 10);
      expect((capacityG ?? 0) - (before.capacityG ?? 0)).toBeLessThan(plantsG + 10);
      expect(Math.abs((dryBackShare ?? 1) - bench.state().tray.dryBackShare)).toBeLessThan(0.005);
      expect(grownG).toBeLessThan(3);
      expect(capacities(grower)).toBe(2);
      // Water that runs out is no leak, no thing taken off and no tremble.
      for (const alarm of ['weight-falling', 'weight-rising', 'scale-noisy', 'thing-on-tray']) {
        expect(changesOf(grower, alarm)).toEqual([]);
      }
      expect(grower.status().water.heldBy).toBe(null);
    },
    SLOW_MACHINE_MS,
  );

  it(
    'are weighed when it drains over a start of the board, too',
    () => {
      const grower = sownTray({ hold: { end: { afterS: 20 * 86_400, mark: 'emerged' } } });
      const { bench } = grower;
      bench.run(4 * DAY_MS);
      bench.hand.mist(bench.state().tray.dryBackShare * 4_064 + 150);
      bench.run(20 * MINUTE_MS);
      bench.reset('watchdog');
      bench.run(2 * HOUR_MS);
      expect(capacities(grower)).toBe(2);
    },
    SLOW_MACHINE_MS,
  );

  it.each([
    ['watered by hand without draining', 4, 5],
    ['flooded a day after it was soaked', 0, 700],
  ])(
    'are not weighed when %s',
    (_, days, g) => {
      const grower = sownTray({ hold: { end: { afterS: 20 * 86_400, mark: 'emerged' } } });
      grower.bench.run(days * DAY_MS);
      grower.bench.hand.mist(g);
      grower.bench.run(3 * HOUR_MS);
      expect(capacities(grower)).toBe(1);
    },
    SLOW_MACHINE_MS,
  );
});
