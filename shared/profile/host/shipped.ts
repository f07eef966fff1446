/** The profile that comes with the program for a crop, read and checked. Host only. */
import type { Profile } from '../profile';
import { checkProfileText } from './check';
import { CROP_FILE_NAMES, cropFileText } from './crops';

const read = new Map<string, Profile | null>();

/** Null where none comes for the crop of this name. */
export function shippedProfile(crop: string): Profile | null {
  const known = read.get(crop);
  if (known !== undefined) return known;
  const file = CROP_FILE_NAMES.find((name) => name === crop);
  const profile =
    file === undefined ? null : checkProfileText(cropFileText(file, ''), file, 0).profile;
  read.set(crop, profile);
  return profile;
}
