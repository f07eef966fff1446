import { describe, expect, it } from 'vitest';
import { isOtherFeed, saltsMg } from '../../firmware/control/feed';

describe('the feed in the reservoir', () => {
  it('is the one a stage wants within what a meter can tell', () => {
    expect(isOtherFeed(0.9, 0.8)).toBe(false);
    expect(isOtherFeed(1.0, 0.8)).toBe(true);
    expect(isOtherFeed(0.5, 0.8)).toBe(true);
    expect(isOtherFeed(2.2, 2)).toBe(false);
  });

  it('is no other feed while nobody has measured it, nor where the stage wants none', () => {
    expect(isOtherFeed(Number.NaN, 0.8)).toBe(false);
    expect(isOtherFeed(1.5, 0)).toBe(false);
  });

  it('of EC 1.0 carries 640 mg of salts a litre, the middle of the scales that meters show', () => {
    expect(saltsMg(1_000, 1)).toBeCloseTo(640);
    expect(saltsMg(200, 0.5)).toBeCloseTo(64);
  });
});
