import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crc32, writeU16 } from '../../shared/bytes';
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
import { checkProfile } from '../../shared/profile/rules';
import { holds } from '../properties';
import { anyProfile } from './any-profile';
import { bodyOf, framed, PROFILE, reasonOf, VERSION_1 } from './small-profile';

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

  it('of version 1 is still read: a tray under way keeps its profile, which had no opening', () => {
    const before = {
      ...PROFILE,
      spread: null,
      stages: PROFILE.stages.map((stage) => ({ ...stage, opening: null })),
    };
    expect(decodeProfile(VERSION_1)).toMatchObject({ ok: true, profile: before });
    // The same profile written anew owes the opening.
    expect(() => encodeProfile(before)).toThrow('opening-missing');
  });

  it('of version 1 keeps every other rule', () => {
    const body = bodyOf(VERSION_1);
    writeU16(body, 1 + PROFILE.crop.length + 1 + PROFILE.title.length, 3_900);
    expect(reasonOf(framed(body, 1))).toBe('out-of-range');
    expect(reasonOf(framed(bodyOf(VERSION_1).subarray(0, -1), 1))).toBe('damaged');
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
