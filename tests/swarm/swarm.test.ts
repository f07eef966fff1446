/**
 * Two hundred plans of the swarm: whatever happens, nothing is unsafe, nothing is lost, nothing goes wrong in silence,
 * and what was put right is right. `npm run swarm` runs as many as wanted.
 */
import { describe, expect, it } from 'vitest';
import { bundled } from '../bundle';
import { drawPlan } from './draw';
import { planText } from './words';

const { runPlan, tryPlan } = await bundled<typeof import('./entry')>('tests/swarm/entry.ts');

/** Each once broke a promise. */
const BROKE_ONCE = [
  44, 141, 228, 276, 7326, 8389, 8627, 9227, 40037, 40183, 40298, 50119, 50305, 60308, 61015,
  1140183, 1140311, 3000200, 3000368, 3002516, 3002565, 3002669, 3003076, 3004150, 3004330, 3004931,
  6000051, 6000328, 6000812, 6001019, 6001114, 6001240, 7000635, 7001762, 8002980, 8003308, 8004373,
  8006024, 8006133, 8007934, 8008134, 8008512, 8008535, 8008831, 8009134, 8009345, 8009600, 8009653,
  8101182, 8110569, 8120001, 8120201, 8140826, 8150250, 8160017, 8160588, 9001897, 9002438, 9003756,
  9006300, 9006987, 9008063, 9010391, 9100458, 9100766, 9101366, 9101564, 9101963, 9102293, 9103314,
  9103415, 9103666, 9107677, 9107870, 9109380, 9109529, 9200188, 9204542, 9204873, 9205326, 9304401,
  9307170, 9307375, 9401266, 9401929, 10001620, 10002493, 10003578, 10005259, 10007601, 10102347,
  10103454, 10203092, 10204052, 10401975, 10404749, 10408448, 10408647, 10409178, 10530107,
  10601050, 10601806, 10700726, 10711716, 11007943, 11009440, 11011607, 11011666, 11020337,
  11025596, 11026912, 11213130, 11401547, 12003387, 12007253, 12020590, 12035962, 12039945,
  12048141, 12077578, 12078345, 12108195, 12324916, 12327349,
];
/** Each so manieth of those is run with every tick, as one is that breaks a promise without some; the others as many are. */
const EVERY_TICK = 5;
/** Fresh ones are the command's: what it may still find must not fail a change. */
const OTHERS = Array.from({ length: 200 }, (_, i) => i + 1)
  .filter((seed) => !BROKE_ONCE.includes(seed))
  .slice(0, 200 - BROKE_ONCE.length);

describe('a tray to which anything happens', () => {
  function expectKept(seed: number, run: typeof runPlan): void {
    const plan = drawPlan(seed);
    const told = `${planText(plan)}\nnpm run swarm -- --seed ${seed}`;
    expect(run(plan).breaches, told).toEqual([]);
  }

  it.each(BROKE_ONCE)('keeps every promise with seed %i, which once broke one', (seed) => {
    expectKept(seed, BROKE_ONCE.indexOf(seed) % EVERY_TICK === 0 ? runPlan : tryPlan);
  });

  it.each(OTHERS)('keeps every promise with seed %i', (seed) => {
    expectKept(seed, tryPlan);
  });

  it('comes to the same end when it happens again', () => {
    const plan = { ...drawPlan(105), recoverMin: 4 * 60 };
    expect(runPlan(JSON.parse(JSON.stringify(plan)))).toEqual(runPlan(plan));
  });
});
