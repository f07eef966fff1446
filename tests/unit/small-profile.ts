/** A small profile that keeps the rules, its parts, and images made by hand. */
import { crc32, writeU16, writeU32 } from '../../shared/bytes';
import { decodeProfile, encodeProfile, IMAGE_VERSION } from '../../shared/profile/image';
import type { Profile, Stage, Watering } from '../../shared/profile/profile';
import * as base from '../base-profile';

const HEADER_BYTES = 8;

export const WATERING: Watering = {
  startShare: 0.25,
  stopShare: 0.1,
  doseMl: 60,
  soakInS: 600,
  maxDayMl: 900,
  maxStageMl: 9_000,
};
export const HOLD: Stage = {
  ...base.HOLD,
  band: { lowC: 26, highC: 28 },
  rescue: { share: 0.4, doseMl: 20 },
};
export const WEIGH: Stage = {
  ...HOLD,
  name: 'grow',
  kind: 'weigh',
  watering: WATERING,
  opening: { byS: 2 * 86_400, stopShare: 0.01 },
  rescue: { share: 0.5, doseMl: 0 },
  end: { afterS: 0, mark: null },
  feedEc: 0.8,
};
export const PROFILE: Profile = {
  ...base.PROFILE,
  title: 'Pepper under test',
  spread: { by: 'capillary-matting', areaM2: 0.13, dryG: 60, holdsMl: 40, outlets: 0 },
  night: { startMin: 1_320, endMin: 360 },
  utcOffsetMin: 60,
  media: base.PROFILE.media.map((medium) => ({ ...medium, pieceMl: 51.84 })),
  stages: [HOLD, WEIGH],
};

/** `PROFILE` as version 1 wrote it, which knew neither openings nor what spreads a dose. */
export const VERSION_1 = Uint8Array.from(
  Buffer.from(
    'VFdQUgEAgwAGcGVwcGVyEVBlcHBlciB1bmRlciB0ZXN0SA2IEwAAASgFaAEAPAABBXBsdWdzYgBAFAAAvAIgAwIJZ2VybWluYXRlACgK8AoAAJAByAAA6QcAAQMAAAAABGdyb3cBKArwCgAB+gBkAFgCWAIAAIQDAAAoIwAA9AEAAAAAAAAAAABQAFboPFo=',
    'base64',
  ),
);

/** An image whose frame and CRC are right, whatever its body holds. */
export function framed(body: Uint8Array, version = IMAGE_VERSION): Uint8Array {
  const bytes = new Uint8Array(HEADER_BYTES + body.length + 4);
  bytes.set(encodeProfile(PROFILE).subarray(0, 4));
  writeU16(bytes, 4, version);
  writeU16(bytes, 6, body.length);
  bytes.set(body, HEADER_BYTES);
  writeU32(bytes, bytes.length - 4, crc32(bytes, 0, bytes.length - 4));
  return bytes;
}
export const bodyOf = (image: Uint8Array): Uint8Array => image.slice(HEADER_BYTES, -4);
export const reasonOf = (bytes: Uint8Array): string | null => {
  const decoded = decodeProfile(bytes);
  return decoded.ok ? null : decoded.reason;
};
