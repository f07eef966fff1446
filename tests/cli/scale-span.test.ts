/** A span unlike the last one of the same cell: a weight that was stated wrongly. */
import { describe, expect, it } from 'vitest';
import { MINUTE_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { unwrapped } from './program';
import { runIn, worldAt } from './worlds';

/** Calibrates with a weight of 2 kg that is called `stated`; hands do what they are asked. */
async function calibrate(grower: Grower, stated: string, ...more: string[]) {
  const { hand } = grower.bench;
  const words = ['scale', 'calibrate', '--weight', stated, '--cell', '10kg', ...more];
  const { code, stderr } = await runIn(worldAt(grower, {}), words, (text) => {
    if (/Put the known weight/.test(text)) hand.putWeight(2_000);
    if (/Take the weight off/.test(text)) hand.takeWeight();
  });
  return { code, said: unwrapped(stderr) };
}

describe('a scale calibrated anew', () => {
  it('asks where the span is more than 2 % off the last one of this cell, and takes it when told to', async () => {
    const grower = new Grower();
    grower.calibrateScale();
    grower.bench.run(MINUTE_MS);
    const spans = () =>
      grower
        .call('scale.history', {}, false)
        .calibrations.map(({ countsPerG }) => Math.round(countsPerG));
    const [span = Number.NaN] = spans();
    expect((await calibrate(grower, '2.02kg')).code).toBe(0);
    expect(spans().length).toBe(2);
    const wrong = await calibrate(grower, '1.8kg');
    expect(wrong.code).not.toBe(0);
    expect(wrong.said).toContain('as if the weight were another than stated');
    expect(spans().length).toBe(2);
    expect((await calibrate(grower, '1.8kg', '--yes')).code).toBe(0);
    expect((spans()[0] ?? 0) / span).toBeCloseTo(2 / 1.8, 2);
  });
});
