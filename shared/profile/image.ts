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
import type { Cursor } from './fields';
import { PROFILE_LAYOUT } from './layout';
import type { Profile } from './profile';
import { checkProfile, type Problem, type ProblemReason } from './rules';

export const IMAGE_VERSION = 1;
/** One slot of the board: two flash sectors. */
export const IMAGE_MAX_BYTES = 8192;

const MAGIC = 0x52505754; // "TWPR"
const HEADER_BYTES = 8;
const CRC_BYTES = 4;

export type ImageReason =
  | 'not-a-profile'
  | 'wrong-length'
  | 'wrong-crc'
  | 'newer-version'
  | 'unknown-version'
  | 'damaged'
  | ProblemReason;

export type DecodedProfile =
  | { readonly ok: true; readonly profile: Profile; readonly id: number }
  | { readonly ok: false; readonly reason: ImageReason; readonly why: string };

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
  if (breach !== undefined) throw new RangeError(problemText(breach));
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
  return PROFILE_LAYOUT.read(cursor(Uint8Array.from(body), 0, body.length));
}

/**
 * The profile in an image, and its identifier; or why there is none. Never throws, whatever the
 * bytes. What it returns has passed every range and rule of `checkProfile`.
 */
export function decodeProfile(bytes: Uint8Array): DecodedProfile {
  const length = imageBytes(bytes);
  if (length === null) return refusal('not-a-profile', 'This is no profile image.');
  if (length !== bytes.length) {
    return refusal(
      'wrong-length',
      `${bytes.length} bytes instead of ${length}. Send the profile again.`,
    );
  }
  const crcAt = length - CRC_BYTES;
  const id = readU32(bytes, crcAt);
  if (crc32(bytes, 0, crcAt) !== id) {
    return refusal('wrong-crc', 'The profile was damaged on its way (CRC-32). Send it again.');
  }
  const version = readU16(bytes, 4);
  if (version !== IMAGE_VERSION) {
    return refusal(
      version > IMAGE_VERSION ? 'newer-version' : 'unknown-version',
      `The profile has format ${version}; this controller reads ${IMAGE_VERSION}. Update the older side.`,
    );
  }
  const from = cursor(bytes, HEADER_BYTES, crcAt);
  const profile = PROFILE_LAYOUT.read(from);
  if (from.damaged || from.at !== crcAt) {
    return refusal('damaged', 'The image is whole, but holds no profile.');
  }
  const [breach] = checkProfile(profile);
  return breach === undefined
    ? { ok: true, profile, id }
    : refusal(breach.reason, problemText(breach));
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

function problemText({ path, reason, found, min, max }: Problem): string {
  const value = found === undefined ? '' : ` (${found}; allowed ${min ?? ''}..${max ?? ''})`;
  return `${path}: ${reason}${value}. Correct the profile and compile it again.`;
}

function refusal(reason: ImageReason, why: string): DecodedProfile {
  return { ok: false, reason, why };
}

function cursor(bytes: Uint8Array, at: number, end: number): Cursor {
  return { bytes, at, end, damaged: false };
}
