/** A grower at a bench in this process, with a profile for tests. */
import { Bench, type BenchOptions } from '../../firmware/bench/bench';
import { GrowerAt } from '../../firmware/bench/grower';
import { CALM_TICK_MS } from '../../firmware/bench/pace';
import { createController } from '../../firmware/main';
import type { Profile } from '../../shared/profile/profile';
import { HOLD, PROFILE, WATERING, WEIGH } from '../base-profile';

/** For a test that reaches into the bench, or looks at seconds: else calm ticks are left out. */
export const EVERY_TICK = { calmTickMs: 1000 } as const;

/** A small profile for tests: a hold until emergence or six days, then watering by weight. */
export const TEST_PROFILE: Profile = {
  ...PROFILE,
  title: 'Test tray',
  media: PROFILE.media.map((medium) => ({ ...medium, pieceMl: 51.84 })),
  stages: [
    { ...HOLD, rescue: { share: 0.4, doseMl: 0 } },
    {
      ...WEIGH,
      band: { lowC: 24, highC: 25 },
      watering: { ...WATERING, maxDayMl: 1_500, maxStageMl: 10_000 },
      opening: { byS: 7 * 86_400, stopShare: 0.02 },
      feedEc: 0.8,
    },
  ],
};

export class Grower extends GrowerAt<Bench> {
  constructor(options: Partial<BenchOptions> = {}) {
    // A heated room: in a cold one the mat cannot reach the band, which is a test of its own.
    const room = { meanC: 24 };
    super(
      new Bench({
        seed: 1,
        firmware: createController,
        rethrow: true,
        calmTickMs: CALM_TICK_MS,
        room,
        ...options,
      }),
    );
  }

  override commission(profile: Profile = TEST_PROFILE): void {
    super.commission(profile);
  }
}
