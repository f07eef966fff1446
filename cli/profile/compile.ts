/** A profile file, read and compiled; or every mistake in it, with its line. */
import { existsSync } from 'node:fs';
import { decodeUtf8 } from '../../shared/bytes';
import { refusalSentence } from '../../shared/link/host/refusals';
import { checkProfileText } from '../../shared/profile/host/check';
import { CROP_FILE_NAMES } from '../../shared/profile/host/crops';
import { problemText, type SourceProblem } from '../../shared/profile/host/problem';
import { decodeProfile, encodeProfile } from '../../shared/profile/image';
import type { Profile } from '../../shared/profile/profile';
import { CommandError, failed, invalid, usage } from '../failure';
import { readBounded } from '../files/bounded-read';

export interface Compiled {
  readonly profile: Profile;
  readonly image: Uint8Array;
  readonly id: number;
  readonly warnings: readonly SourceProblem[];
}

/** A crop of all stages that a profile may have is a tenth of this. */
const PROFILE_FILE_MAX_BYTES = 262_144;

/** Refuses the name of a crop where the file of its profile is wanted. */
function refuseCrop(file: string): void {
  const crop = CROP_FILE_NAMES.find((name) => name === file.trim().toLowerCase());
  if (crop === undefined) return;
  const own = `${crop}.yaml`;
  throw invalid(
    'no-such-file',
    `There is no file called ${file}: a profile is a file, and ${crop} is a crop.`,
    existsSync(own)
      ? `Give the file that lies here: ${own}.`
      : `\`trayward profile new ${crop}\` writes ${own}: give that.`,
  );
}

function readText(file: string | undefined): { file: string; text: string } {
  if (file === undefined) throw usage('Which file?', 'Give the profile file.');
  if (!existsSync(file)) refuseCrop(file);
  const text = decodeUtf8(readBounded(file, PROFILE_FILE_MAX_BYTES, 'a profile'));
  if (text !== null) return { file, text };
  throw invalid(
    'not-utf8',
    `${file} is not written in UTF-8, so that its letters cannot be told.`,
    'Save it as UTF-8 (an "encoding" in most editors), then check it again. Nothing was sent.',
  );
}

/** How many errors there are; warnings among them are told, and not counted. */
function mistakes(problems: readonly SourceProblem[]): string {
  const count = problems.filter(({ severity }) => severity === 'error').length;
  return count === 1 ? 'There is a mistake' : `There are ${count} mistakes`;
}

/** A file as an image, or the refusal that lists every problem with its line. */
export function compile(named: string | undefined): Compiled {
  const { file, text } = readText(named);
  const utcOffsetMin = -new Date().getTimezoneOffset();
  const { problems, profile } = checkProfileText(text, file, utcOffsetMin);
  if (profile === null) {
    throw new CommandError(
      'invalid',
      'profile-invalid',
      [`${mistakes(problems)} in ${file}.`, ...problems.map(problemText)].join('\n'),
      'Put it right and check again. Nothing was sent.',
      problems,
    );
  }
  const image = encodeProfile(profile);
  const decoded = decodeProfile(image);
  if (!decoded.ok) {
    const why = refusalSentence(decoded.reason, decoded.facts);
    throw failed(decoded.reason, why, 'This is a mistake of the program.');
  }
  return { profile, image, id: decoded.id, warnings: problems };
}
