/**
 * The profile image: what is sent over the link and kept in a flash slot.
 *
 *     offset  bytes  content
 *     0       4      "TWPR"
 *     4       2      version of the body's layout
 *     6       2      length of the body, bytes
 *     8       n      body, see `layout.ts`
 *     8 + n   4      CRC-32/ISO-HDLC of everything before it; also the profile's identifier
 *
 * All numbers little-endian. Frame and CRC stay as they are in every version, so that an older board
 * can tell a newer profile from a damaged one.
 */
import { crc32 } from '../bytes/crc32';
import { readU16, readU32, writeU16, writeU32 } from '../bytes/little-endian';
import type { ProblemReason } from './breach';
import type { Cursor } from './fields';
import { PROFILE_LAYOUT } from './layout';
import type { Profile } from './profile';
import { checkProfile } from './rules';

/** Raised when `layout.ts` changes. Written is this one; read are all from `IMAGE_VERSION_FIRST` on. */
export const IMAGE_VERSION = 2;
export const IMAGE_VERSION_FIRST = 1;
/** One slot of the board: two flash sectors. */
export const IMAGE_MAX_BYTES = 8192;

/** Images before this one cannot hold an opening: a crop under way must not lose its profile for that. */
const OPENINGS_SINCE = 2;
const MAGIC = 0x52505754; // "TWPR"
const HEADER_BYTES = 8;
const CRC_BYTES = 4;

/**
 * Why an image is refused, with the facts that belong to each reason. Where a rule is broken, the
 * host finds by `checkProfile`, which it has too.
 */
export interface ImageRefusalFacts extends Record<ProblemReason, []> {
  'not-a-profile': [];
  'wrong-length': [bytes: number, expected: number];
  'wrong-crc': [];
  'newer-version': [version: number];
  'unknown-version': [version: number];
  damaged: [];
}

export type ImageReason = keyof ImageRefusalFacts;

export type DecodedProfile =
  | { readonly ok: true; readonly profile: Profile; readonly id: number }
  | {
      readonly ok: false;
      readonly reason: ImageReason;
      readonly facts: ImageRefusalFacts[ImageReason];
    };

/**
 * Length in bytes that the header of an image gives for the whole of it, or null when `bytes` does
 * not begin with such a header (an empty slot, or something else). The CRC is not looked at.
 */
export function imageBytes(bytes: Uint8Array): number | null {
  if (bytes.length < HEADER_BYTES || readU32(bytes, 0) !== MAGIC) return null;
  const length = HEADER_BYTES + readU16(bytes, 6) + CRC_BYTES;
  return length > IMAGE_MAX_BYTES ? null : length;
}

/**
 * Image of a profile. Values between two steps of the format go to the nearer one. Throws RangeError
 * for a profile that `checkProfile` has something against: check first, where a person must be told.
 */
export function encodeProfile(profile: Profile): Uint8Array {
  const body: number[] = [];
  const [breach] = checkProfile(profile);
  if (breach !== undefined) throw new RangeError(`${breach.path}: ${breach.reason}`);
  PROFILE_LAYOUT.write(body, profile);
  const bytes = new Uint8Array(HEADER_BYTES + body.length + CRC_BYTES);
  writeU32(bytes, 0, MAGIC);
  writeU16(bytes, 4, IMAGE_VERSION);
  writeU16(bytes, 6, body.length);
  bytes.set(body, HEADER_BYTES);
  const crcAt = HEADER_BYTES + body.length;
  writeU32(bytes, crcAt, crc32(bytes, 0, crcAt));
  return bytes;
}

/** The profile as an image can hold it: each number on the nearest step of the format. */
export function toImageGrid(profile: Profile): Profile {
  const body: number[] = [];
  PROFILE_LAYOUT.write(body, profile);
  return PROFILE_LAYOUT.read(cursor(Uint8Array.from(body), 0, body.length, IMAGE_VERSION));
}

/**
 * The profile in an image, and its identifier; or why there is none. Never throws, whatever the
 * bytes. What it returns has passed every range and rule of `checkProfile`, but that a profile of
 * version 1, which knew no openings, need not have them.
 */
export function decodeProfile(bytes: Uint8Array): DecodedProfile {
  const length = imageBytes(bytes);
  if (length === null) return refusal('not-a-profile');
  if (length !== bytes.length) {
    return refusal('wrong-length', bytes.length, length);
  }
  const crcAt = length - CRC_BYTES;
  const id = readU32(bytes, crcAt);
  if (crc32(bytes, 0, crcAt) !== id) {
    return refusal('wrong-crc');
  }
  const version = readU16(bytes, 4);
  if (version > IMAGE_VERSION || version < IMAGE_VERSION_FIRST) {
    return refusal(version > IMAGE_VERSION ? 'newer-version' : 'unknown-version', version);
  }
  const from = cursor(bytes, HEADER_BYTES, crcAt, version);
  const profile = PROFILE_LAYOUT.read(from);
  if (from.damaged || from.at !== crcAt) {
    return refusal('damaged');
  }
  const [breach] = checkProfile(profile, version >= OPENINGS_SINCE);
  if (breach === undefined) return { ok: true, profile, id };
  return refusal(breach.reason);
}

/** Digits and capitals without 0, 1, I and O, which are mistaken for each other. */
const ID_ALPHABET = '23456789ABCDEFGHJKLMNPQRSTUVWXYZ';

/** Seven characters that name a profile, easy to read aloud; two that differ are two profiles. */
export function profileIdText(id: number): string {
  let text = '';
  for (let rest = id >>> 0, i = 0; i < 7; i++) {
    text = ID_ALPHABET.charAt(rest & 31) + text;
    rest >>>= 5;
  }
  return text;
}

function refusal<R extends ImageReason>(reason: R, ...facts: ImageRefusalFacts[R]): DecodedProfile {
  return { ok: false, reason, facts };
}

function cursor(bytes: Uint8Array, at: number, end: number, version: number): Cursor {
  return { bytes, at, end, version, damaged: false };
}
