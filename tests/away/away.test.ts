/**
 * Trays on the bench that nobody comes to, held against what was said of them beforehand. A short season of an even
 * seed; `npm run bench -- away` runs two dozen, and tells of those that nobody tuned the forecast on.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { bundled } from '../bundle';

const { coverageOf, cutsOf, dosesOf, runAwaySeason } =
  await bundled<typeof import('./entry')>('tests/away/entry.ts');

const SLOW_MACHINE_MS = 120_000;
/** Cucumbers are fed soonest. */
const SEED = 6;
const DAYS = 20;

describe('what is said with nine tenths of certainty of a tray that is left', () => {
  let cuts: ReturnType<typeof cutsOf> = [];
  beforeAll(() => {
    cuts = cutsOf(runAwaySeason(SEED, { longestDays: DAYS }));
  }, SLOW_MACHINE_MS);

  it('holds, and is no counsel of despair', () => {
    const { cuts: judged, share, longerWrong } = coverageOf(cuts);
    expect(judged).toBeGreaterThanOrEqual(4);
    expect(share).toBeGreaterThanOrEqual(0.75);
    expect(longerWrong).toBeLessThanOrEqual(1);
    const ratios = cuts
      .flatMap(({ verdict, toldMs, cameMs }) =>
        verdict === 'longer' || toldMs === null || cameMs === null ? [] : [toldMs / cameMs],
      )
      .sort((a, b) => a - b);
    // Half of them come true within a third of the time that is told.
    expect(ratios[Math.floor(ratios.length / 2)]).toBeGreaterThan(0.75);
  });

  it('has the next dose between the two times that are told of it', () => {
    const { cuts: judged, share } = dosesOf(cuts);
    expect(judged).toBeGreaterThanOrEqual(6);
    expect(share).toBeGreaterThanOrEqual(0.8);
  });
});
