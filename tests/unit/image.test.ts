import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crc32, writeU16, writeU32 } from '../../shared/bytes';
import { refusalSentence } from '../../shared/link/host/refusals';
import {
  decodeProfile,
  encodeProfile,
  IMAGE_MAX_BYTES,
  IMAGE_VERSION,
  imageBytes,
  profileIdText,
  toImageGrid,
} from '../../shared/profile/image';
import type { Medium, Profile, Stage, Watering } from '../../shared/profile/profile';
import { checkProfile, type ProblemReason } from '../../shared/profile/rules';
import { holds } from '../properties';
import { anyProfile } from './any-profile';

const HEADER_BYTES = 8;

const WATERING: Watering = {
  startShare: 0.25,
  stopShare: 0.1,
  doseMl: 60,
  soakInS: 600,
  maxDayMl: 900,
  maxStageMl: 9_000,
};
const MEDIUM: Medium = {
  name: 'plugs',
  pieces: 98,
  pieceMl: 51.84,
  bulkDensityKgM3: 70,
  capacityShare: 0.8,
};
const HOLD: Stage = {
  name: 'germinate',
  kind: 'hold',
  band: { lowC: 26, highC: 28 },
  nightBand: null,
  watering: null,
  rescue: { share: 0.4, doseMl: 20 },
  end: { afterS: 518_400, mark: 'emerged' },
  lid: 'closed',
  medium: 0,
  feedEc: 0,
};
const WEIGH: Stage = {
  ...HOLD,
  name: 'grow',
  kind: 'weigh',
  watering: WATERING,
  rescue: { share: 0.5, doseMl: 0 },
  end: { afterS: 0, mark: null },
  feedEc: 0.8,
};
const PROFILE: Profile = {
  crop: 'pepper',
  title: 'Pepper under test',
  rootZoneMaxC: 34,
  reservoirMl: 5_000,
  night: { startMin: 1_320, endMin: 360 },
  quiet: null,
  utcOffsetMin: 60,
  media: [MEDIUM],
  stages: [HOLD, WEIGH],
};

/** An image whose frame and CRC are right, whatever its body holds. */
function framed(body: Uint8Array, version = IMAGE_VERSION): Uint8Array {
  const bytes = new Uint8Array(HEADER_BYTES + body.length + 4);
  bytes.set(encodeProfile(PROFILE).subarray(0, 4));
  writeU16(bytes, 4, version);
  writeU16(bytes, 6, body.length);
  bytes.set(body, HEADER_BYTES);
  writeU32(bytes, bytes.length - 4, crc32(bytes, 0, bytes.length - 4));
  return bytes;
}
const bodyOf = (image: Uint8Array): Uint8Array => image.slice(HEADER_BYTES, -4);
const reasonOf = (bytes: Uint8Array): string | null => {
  const decoded = decodeProfile(bytes);
  return decoded.ok ? null : decoded.reason;
};

describe('a profile image', () => {
  it('brings back any profile that keeps the rules, and names it by its CRC', () => {
    holds(
      fc.property(anyProfile, (profile) => {
        expect(checkProfile(profile)).toEqual([]);
        const image = encodeProfile(profile);
        expect(image.length).toBeLessThanOrEqual(IMAGE_MAX_BYTES);
        expect(imageBytes(image)).toBe(image.length);
        const id = crc32(image, 0, image.length - 4);
        expect(decodeProfile(image)).toEqual({ ok: true, profile: toImageGrid(profile), id });
        expect(toImageGrid(profile)).toEqual(profile);
      }),
    );
  });

  it('with any single bit changed is refused', () => {
    holds(
      fc.property(anyProfile, fc.nat(), (profile, pick) => {
        const image = encodeProfile(profile);
        const bit = pick % (image.length * 8);
        image[bit >> 3] = (image[bit >> 3] ?? 0) ^ (1 << (bit & 7));
        expect(decodeProfile(image).ok).toBe(false);
      }),
    );
  });

  it('cut short, or with bytes behind it, is refused', () => {
    const image = encodeProfile(PROFILE);
    for (let length = 0; length < image.length; length++) {
      expect(decodeProfile(image.subarray(0, length)).ok).toBe(false);
    }
    expect(reasonOf(Uint8Array.of(...image, 0))).toBe('wrong-length');
  });

  it('of a newer format is told apart from a damaged one', () => {
    const body = bodyOf(encodeProfile(PROFILE));
    expect(reasonOf(framed(body))).toBe(null);
    expect(reasonOf(framed(body, IMAGE_VERSION + 1))).toBe('newer-version');
    expect(reasonOf(framed(body, 0))).toBe('unknown-version');
    expect(reasonOf(framed(Uint8Array.of(...body, 0)))).toBe('damaged');
    expect(reasonOf(framed(body.subarray(0, -1)))).toBe('damaged');
    expect(reasonOf(framed(new Uint8Array(0)))).toBe('damaged');
  });

  it('of arbitrary bytes never throws, and is none', () => {
    holds(
      fc.property(fc.uint8Array({ maxLength: 600, size: 'max' }), (bytes) => {
        expect(decodeProfile(bytes).ok).toBe(false);
      }),
    );
    expect(reasonOf(new Uint8Array(IMAGE_MAX_BYTES).fill(0xff))).toBe('not-a-profile');
  });

  it('with a right CRC and a body of nonsense never throws, and never breaks a rule', () => {
    const nonsense = fc.uint8Array({ maxLength: 600, size: 'max' }).map((body) => framed(body));
    const changes = fc.array(fc.tuple(fc.nat(), fc.nat(255)), { minLength: 1, maxLength: 4 });
    const changed = fc.tuple(anyProfile, changes).map(([profile, bytes]) => {
      const body = bodyOf(encodeProfile(profile));
      for (const [at, byte] of bytes) body[at % body.length] = byte;
      return framed(body);
    });
    holds(
      fc.property(fc.oneof(nonsense, changed), (image) => {
        const decoded = decodeProfile(image);
        if (decoded.ok) expect(checkProfile(decoded.profile)).toEqual([]);
        else
          expect(refusalSentence(decoded.reason, decoded.facts)).not.toMatch(/undefined|NaN|\?:/);
      }),
      { numRuns: 400 },
    );
  });

  it('has a name for reading aloud: seven signs, none mistaken for another, one for each profile', () => {
    const id = fc.integer({ min: 0, max: 0xffff_ffff });
    holds(
      fc.property(id, id, (a, b) => {
        expect(profileIdText(a)).toMatch(/^[2-9A-HJ-NP-Z]{7}$/);
        expect(profileIdText(a) === profileIdText(b)).toBe(a === b);
      }),
    );
  });
});

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

  it('accept the profile that the breaches below are made from', () => {
    expect(checkProfile(PROFILE)).toEqual([]);
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
