import { describe, expect, it } from 'vitest';
import { writeU16 } from '../../shared/bytes';
import type { ProblemReason } from '../../shared/profile/breach';
import { decodeProfile, encodeProfile } from '../../shared/profile/image';
import type { Profile, Spread, Stage, Watering } from '../../shared/profile/profile';
import { checkProfile } from '../../shared/profile/rules';
import { bodyOf, framed, HOLD, PROFILE, WATERING, WEIGH } from './small-profile';

describe('the rules', () => {
  const withStage = (i: 0 | 1, change: Partial<Stage>): Profile => ({
    ...PROFILE,
    stages: PROFILE.stages.map((one, at) => (at === i ? { ...one, ...change } : one)),
  });
  const withWatering = (change: Partial<Watering>): Profile =>
    withStage(1, { watering: { ...WATERING, ...change } });
  const transplanted = (after: Partial<Stage>, feedEc = 0.8): Profile => ({
    ...PROFILE,
    stages: [
      { ...WEIGH, end: { afterS: 0, mark: 'transplanted' }, feedEc },
      { ...HOLD, name: 'root in', end: { afterS: 3 * 86_400, mark: null }, ...after },
    ],
  });

  const MATTING: Spread = {
    by: 'capillary-matting',
    areaM2: 0.13,
    dryG: 60,
    holdsMl: 40,
    outlets: 0,
  };
  /** Emergence, a hold that ends so, and the first watering. */
  const cotyledons = (end: Stage['end'], byS: number): Profile => ({
    ...PROFILE,
    stages: [
      HOLD,
      { ...HOLD, name: 'cotyledons', end },
      { ...WEIGH, opening: { byS, stopShare: 0.01 } },
    ],
  });
  /** Fed, transplanted, settled, and watered again. */
  const rooted = (again: Partial<Stage>): Profile => ({
    ...PROFILE,
    stages: [
      HOLD,
      { ...WEIGH, end: { afterS: 0, mark: 'transplanted' } },
      { ...HOLD, name: 'settle', end: { afterS: 3 * 86_400, mark: null } },
      { ...WEIGH, name: 'blocks', ...again },
    ],
  });

  it('accept the profile that the breaches below are made from', () => {
    expect(checkProfile(PROFILE)).toEqual([]);
    expect(checkProfile(cotyledons({ afterS: 4 * 86_400, mark: null }, 3 * 86_400))).toEqual([]);
    expect(checkProfile(cotyledons({ afterS: 7 * 86_400, mark: 'vented' }, 0))).toEqual([]);
    expect(checkProfile(rooted({}))).toEqual([]);
    for (const spread of [
      { ...MATTING, holdsMl: 120 },
      { ...MATTING, by: 'channels' as const, areaM2: 0.02 },
      { ...MATTING, by: 'drilled-manifold' as const, outlets: 30 },
    ]) {
      const stages = [{ ...HOLD, rescue: { share: 0.4, doseMl: 60 } }, WEIGH];
      expect(checkProfile({ ...PROFILE, spread, stages })).toEqual([]);
    }
    expect(checkProfile(transplanted({}))).toEqual([]);
  });

  const breaches: readonly (readonly [string, ProblemReason, string, Profile])[] = [
    [
      'a band upside down',
      'band-upside-down',
      'stages.0.band',
      withStage(0, { band: { lowC: 28, highC: 26 } }),
    ],
    [
      'a band so narrow that noise switches the mat',
      'band-narrow',
      'stages.0.band',
      withStage(0, { band: { lowC: 26, highC: 26.2 } }),
    ],
    [
      'a band too wide to be meant',
      'band-wide',
      'stages.0.band',
      withStage(0, { band: { lowC: 20, highC: 26.5 } }),
    ],
    [
      'a band that heats into the alarm',
      'band-near-limit',
      'stages.0.band.highC',
      withStage(0, { band: { lowC: 32, highC: 33.5 } }),
    ],
    [
      'a root zone warmer than any crop wants',
      'out-of-range',
      'rootZoneMaxC',
      { ...PROFILE, rootZoneMaxC: 38.5 },
    ],
    [
      'a night band without a night',
      'night-missing',
      'stages.0.nightBand',
      { ...withStage(0, { nightBand: { lowC: 20, highC: 22 } }), night: null },
    ],
    [
      'a night of no length',
      'window-empty',
      'night',
      { ...PROFILE, night: { startMin: 60, endMin: 60 } },
    ],
    [
      'a stage that weighs and has no watering',
      'watering-missing',
      'stages.1.watering',
      withStage(1, { watering: null }),
    ],
    [
      'water in a hold',
      'watering-in-hold',
      'stages.0.watering',
      withStage(0, { watering: WATERING }),
    ],
    [
      'watering that stops where it starts',
      'stop-not-below-start',
      'stages.1.watering.stopShare',
      withWatering({ stopShare: 0.25 }),
    ],
    [
      'a dose above the cap of its day',
      'dose-over-day',
      'stages.1.watering.doseMl',
      withWatering({ doseMl: 60, maxDayMl: 59 }),
    ],
    [
      'a day above the cap of its stage',
      'day-over-stage',
      'stages.1.watering.maxDayMl',
      withWatering({ maxDayMl: 900, maxStageMl: 899 }),
    ],
    [
      'a dose that the reservoir does not hold',
      'dose-over-reservoir',
      'stages.1.watering.doseMl',
      { ...PROFILE, reservoirMl: 50 },
    ],
    [
      'an alarm for dryness before watering starts',
      'rescue-below-start',
      'stages.1.rescue.share',
      withStage(1, { rescue: { share: 0.2, doseMl: 0 } }),
    ],
    [
      'a rescue dose smaller than the pump can give',
      'rescue-dose-small',
      'stages.0.rescue.doseMl',
      withStage(0, { rescue: { share: 0.4, doseMl: 1 } }),
    ],
    [
      'a rescue dose where the stage waters by itself',
      'rescue-dose-in-weigh',
      'stages.1.rescue.doseMl',
      withStage(1, { rescue: { share: 0.5, doseMl: 20 } }),
    ],
    [
      'a first stage of water after emergence that waits for dry-back',
      'opening-missing',
      'stages.1.opening',
      withStage(1, { opening: null }),
    ],
    [
      'a first watering after a transplant that waits for dry-back',
      'opening-missing',
      'stages.3.opening',
      rooted({ opening: null }),
    ],
    [
      'an opening in a hold',
      'opening-in-hold',
      'stages.0.opening',
      withStage(0, { opening: { byS: 0, stopShare: 0 } }),
    ],
    [
      'an opening that ends where doses begin',
      'opening-not-below-start',
      'stages.1.opening.stopShare',
      withStage(1, { opening: { byS: 0, stopShare: 0.24 } }),
    ],
    [
      'a first feed eight days after emergence',
      'first-feed-late',
      'stages.2.opening.byS',
      cotyledons({ afterS: 4 * 86_400, mark: null }, 4 * 86_400),
    ],
    [
      'a hold after emergence that lasts longer than a seed feeds its seedling',
      'first-feed-late',
      'stages.1.end',
      cotyledons({ afterS: 8 * 86_400, mark: 'vented' }, 0),
    ],
    [
      'a hold after emergence that may last for ever',
      'first-feed-late',
      'stages.1.end',
      cotyledons({ afterS: 0, mark: 'vented' }, 0),
    ],
    [
      'a dose that does not wet the matting through',
      'dose-not-spread',
      'stages.1.watering.doseMl',
      { ...PROFILE, spread: { ...MATTING, holdsMl: 121 } },
    ],
    [
      'a dose too shallow to flood the channels',
      'dose-not-spread',
      'stages.1.watering.doseMl',
      { ...PROFILE, spread: { ...MATTING, by: 'channels', areaM2: 0.021 } },
    ],
    [
      'a dose of less than 2 ml for each outlet',
      'dose-not-spread',
      'stages.1.watering.doseMl',
      { ...PROFILE, spread: { ...MATTING, by: 'drilled-manifold', outlets: 31 } },
    ],
    [
      'a rescue dose that the matting swallows',
      'dose-not-spread',
      'stages.0.rescue.doseMl',
      { ...withStage(0, { rescue: { share: 0.4, doseMl: 19 } }), spread: MATTING },
    ],
    [
      'a drilled manifold without a hole',
      'outlets-missing',
      'spread.outlets',
      { ...PROFILE, spread: { ...MATTING, by: 'drilled-manifold' } },
    ],
    [
      'a medium that is not described',
      'medium-unknown',
      'stages.0.medium',
      withStage(0, { medium: 1 }),
    ],
    ['two stages of one name', 'name-twice', 'stages.1.name', withStage(1, { name: 'germinate' })],
    [
      'a transplant into watering',
      'transplant-hold-missing',
      'stages.1',
      transplanted({ kind: 'weigh', watering: WATERING, rescue: { share: 0.5, doseMl: 0 } }),
    ],
    [
      'a hold after the transplant that a mark could end at once',
      'transplant-hold-missing',
      'stages.1',
      transplanted({ end: { afterS: 3 * 86_400, mark: 'vented' } }),
    ],
    [
      'a hold after the transplant of an hour',
      'transplant-hold-short',
      'stages.1.end.afterS',
      transplanted({ end: { afterS: 3_600, mark: null } }),
    ],
    [
      'strong feed around the transplant',
      'feed-strong-at-transplant',
      'stages.0.feedEc',
      transplanted({}, 1.2),
    ],
    ['no stage at all', 'wrong-count', 'stages', { ...PROFILE, stages: [] }],
    [
      'a title that would steer the terminal',
      'bad-text',
      'title',
      { ...PROFILE, title: 'bell\u0007' },
    ],
    [
      'a number that is none',
      'out-of-range',
      'reservoirMl',
      { ...PROFILE, reservoirMl: Number.NaN },
    ],
  ];
  for (const [what, reason, path, profile] of breaches) {
    it(`refuse ${what}`, () => {
      const found = checkProfile(profile).map((problem) => `${problem.path}: ${problem.reason}`);
      expect(found).toContain(`${path}: ${reason}`);
      expect(() => encodeProfile(profile)).toThrow(RangeError);
    });
  }

  it('are kept by the board itself: an image made without them is refused with the breach', () => {
    const good = encodeProfile(PROFILE);
    const body = bodyOf(good);
    // rootZoneMaxC, in hundredths, lies behind crop and title.
    const at = 1 + PROFILE.crop.length + 1 + PROFILE.title.length;
    writeU16(body, at, 3_900);
    const decoded = decodeProfile(framed(body));
    expect(decoded.ok ? '' : decoded.reason).toBe('out-of-range');
  });
});
