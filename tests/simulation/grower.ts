/** A grower at a bench in this process, with a profile for tests. */
import { Bench, type BenchOptions } from '../../firmware/bench/bench';
import { GrowerAt } from '../../firmware/bench/grower';
import { createController } from '../../firmware/main';
import type { Profile } from '../../shared/profile/profile';

export const MINUTE_MS = 60_000;
export const HOUR_MS = 60 * MINUTE_MS;
export const DAY_MS = 24 * HOUR_MS;

/** A small profile for tests: a hold until emergence or six days, then watering by weight. */
export const TEST_PROFILE: Profile = {
  crop: 'pepper',
  title: 'Test tray',
  rootZoneMaxC: 34,
  reservoirMl: 5_000,
  spread: null,
  night: null,
  quiet: null,
  utcOffsetMin: 0,
  media: [{ name: 'plugs', pieces: 98, pieceMl: 51.84, bulkDensityKgM3: 70, capacityShare: 0.8 }],
  stages: [
    {
      name: 'germinate',
      kind: 'hold',
      band: { lowC: 26, highC: 27 },
      nightBand: null,
      watering: null,
      opening: null,
      rescue: { share: 0.4, doseMl: 0 },
      end: { afterS: 6 * 86_400, mark: 'emerged' },
      lid: 'closed',
      medium: 0,
      feedEc: 0,
    },
    {
      name: 'first feed',
      kind: 'weigh',
      band: { lowC: 24, highC: 25 },
      nightBand: null,
      watering: {
        startShare: 0.1,
        stopShare: 0.05,
        doseMl: 40,
        soakInS: 300,
        maxDayMl: 1_500,
        maxStageMl: 10_000,
      },
      opening: { byS: 7 * 86_400, stopShare: 0.02 },
      rescue: { share: 0.5, doseMl: 0 },
      end: { afterS: 0, mark: null },
      lid: 'propped',
      medium: 0,
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
        room,
        ...options,
      }),
    );
  }

  override commission(profile: Profile = TEST_PROFILE): void {
    super.commission(profile);
  }
}
