/**
 * A few plans of the swarm: whatever happens, nothing is unsafe, nothing is lost, nothing goes wrong in silence, and
 * what was put right is right. `npm run swarm` runs as many as wanted.
 */
import { describe, expect, it } from 'vitest';
import { bundled } from '../bundle';
import { drawPlan } from './draw';
import { planText } from './words';

const { runPlan } = await bundled<typeof import('./entry')>('tests/swarm/entry.ts');

/** 44, 141 and those after it once broke a promise. Fresh ones are the command's: what it may still find must not fail a change. */
const SEEDS = [44, 105, 115, 120, 141, 228, 276, 7326, 8389, 9227];

describe('a tray to which anything happens', () => {
  it.each(SEEDS)('keeps every promise with seed %i', (seed) => {
    const plan = drawPlan(seed);
    expect(runPlan(plan).breaches, `${planText(plan)}\nnpm run swarm -- --seed ${seed}`).toEqual(
      [],
    );
  });

  it('comes to the same end when it happens again', () => {
    const plan = { ...drawPlan(105), recoverMin: 4 * 60 };
    expect(runPlan(JSON.parse(JSON.stringify(plan)))).toEqual(runPlan(plan));
  });
});
