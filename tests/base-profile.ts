/** Two stages in good order, a hold and one that waters by weight, and a profile of them: tests change what they are about. */
import type { Profile, Stage, Watering } from '../shared/profile/profile';

export const WATERING: Watering = {
  startShare: 0.1,
  stopShare: 0.05,
  doseMl: 40,
  soakInS: 300,
  maxDayMl: 400,
  maxStageMl: 1_000,
};

export const HOLD: Stage = {
  name: 'germinate',
  kind: 'hold',
  band: { lowC: 26, highC: 27 },
  nightBand: null,
  watering: null,
  opening: null,
  rescue: { share: 0.4, doseMl: 25 },
  end: { afterS: 6 * 86_400, mark: 'emerged' },
  lid: 'closed',
  medium: 0,
  feedEc: 0,
};

export const WEIGH: Stage = {
  ...HOLD,
  name: 'first feed',
  kind: 'weigh',
  watering: WATERING,
  rescue: { share: 0.5, doseMl: 0 },
  end: { afterS: 0, mark: null },
  lid: 'propped',
};

export const PROFILE: Profile = {
  crop: 'pepper',
  title: 'Two stages',
  rootZoneMaxC: 34,
  reservoirMl: 5_000,
  spread: null,
  night: null,
  quiet: null,
  utcOffsetMin: 0,
  media: [{ name: 'plugs', pieces: 98, pieceMl: 51, bulkDensityKgM3: 70, capacityShare: 0.8 }],
  stages: [HOLD, WEIGH],
};
