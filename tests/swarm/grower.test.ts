/** What the swarm's grower makes of a word that nobody answers. */
import { expect, it, vi } from 'vitest';
import { Bench } from '../../firmware/bench/bench';
import { trayOf } from '../../firmware/bench/tray-of';
import { SwarmGrower } from './grower';
import { shippedProfile } from './vary';

/** A grower at a sown tray with a weight beside it, on a line that loses each answer, and noise on it or none. */
function unanswered(noisy: boolean, weightG: number): SwarmGrower {
  const profile = shippedProfile('pepper');
  const bench = new Bench({ seed: 3, ...trayOf(profile) });
  const grower = new SwarmGrower(bench, profile, (ms) => bench.run(ms));
  grower.commission(0);
  if (weightG > 0) bench.hand.putWeight(weightG);
  if (noisy) bench.fault('link-noise');
  vi.spyOn(grower.link, 'call').mockImplementation(() => {
    throw new Error('no reply');
  });
  return grower;
}

it('a mark that no answer came to may have been taken, with what stands there beside the tray', () => {
  const grower = unanswered(true, 234);
  expect(grower.soakAndMark()).toBe('tray-and-thing');
  expect(grower.standsAsMarked).toBe(false);
});

it('the same of the tray alone makes nothing known', () => {
  const grower = unanswered(true, 0);
  expect(grower.soakAndMark()).toBe('none');
  expect(grower.standsAsMarked).toBe(true);
});

it('a mark that nobody is there to answer is none', () => {
  const grower = unanswered(false, 234);
  expect(grower.soakAndMark()).toBe('none');
  expect(grower.standsAsMarked).toBe(true);
});
