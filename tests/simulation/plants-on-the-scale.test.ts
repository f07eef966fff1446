/** What plants weigh is no water: learnt without a mark when the tray is watered until it drains. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, type Grower, HOUR_MS } from './grower';
import { changesOf, sownTray } from './scenes';

/** Emerged, and grown for `days` under a loose lid, with a dose from the pump at most. */
function grownTray(days: number): Grower {
  const grower = sownTray({
    feed: { opening: { byS: 7 * 86_400, stopShare: 0.4 }, rescue: { share: 0.6, doseMl: 0 } },
    watering: { startShare: 0.5, stopShare: 0.4 },
  });
  const { bench } = grower;
  bench.runUntil(() => bench.state().plants.progress >= 1, 12 * DAY_MS);
  grower.call('mark.set', { mark: 'emerged' });
  bench.hand.setLid('loose');
  bench.run(days * DAY_MS);
  return grower;
}

const capacities = (grower: Grower) =>
  grower.journal().filter((entry) => entry.kind === 'capacity').length;

describe('plants that hide dry-back', () => {
  it('are guessed by their age, and weighed when the tray is watered by hand until it drains', () => {
    const grower = grownTray(12);
    const { bench } = grower;
    const before = grower.status().water;
    const plantsG = bench.state().plants.massG;
    const hiddenG = Math.abs(before.grownG - plantsG);
    expect(hiddenG).toBeLessThan(before.grownOffG + 10);
    expect(hiddenG).toBeLessThan(plantsG);
    // The water that is missing and half a litre more.
    bench.hand.mist((bench.state().tray.dryBackShare ?? 0) * 4_064 + 500);
    bench.run(2 * HOUR_MS);
    const { capacityG, dryBackShare, grownG } = grower.status().water;
    expect((capacityG ?? 0) - (before.capacityG ?? 0)).toBeGreaterThan(plantsG - 15);
    expect((capacityG ?? 0) - (before.capacityG ?? 0)).toBeLessThan(plantsG + 15);
    expect(Math.abs((dryBackShare ?? 1) - bench.state().tray.dryBackShare)).toBeLessThan(0.005);
    expect(grownG).toBeLessThan(2);
    expect(capacities(grower)).toBe(2);
    // Water that runs out is no leak, no thing taken off and no tremble.
    for (const alarm of ['weight-falling', 'weight-rising', 'scale-noisy', 'thing-on-tray']) {
      expect(changesOf(grower, alarm)).toEqual([]);
    }
    expect(grower.status().water.heldBy).toBe(null);
  });

  it.each([
    ['watered by hand without draining', (grower: Grower) => grower.bench.hand.mist(150)],
    [
      'soaked and marked a day ago, and flooded again',
      (grower: Grower) => {
        const { bench } = grower;
        bench.hand.soak();
        bench.run(HOUR_MS);
        grower.call('mark.set', { mark: 'soaked' });
        bench.run(DAY_MS);
        bench.hand.mist(700);
      },
    ],
  ])('are not weighed when %s', (_, act) => {
    const grower = grownTray(4);
    act(grower);
    const before = capacities(grower);
    grower.bench.run(3 * HOUR_MS);
    expect(capacities(grower)).toBe(before);
  });
});
