/** New profile files, with the schema for editors beside them. */
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { type CropFileName, cropFileText } from '../../shared/profile/host/crops';
import { PROFILE_SCHEMA_TITLE, profileJsonSchema } from '../../shared/profile/host/schema';
import { refused } from '../failure';
import { writeNew, writeOver } from '../files/atomic-write';

/** Beside each new profile, so that both can be copied elsewhere together. */
const SCHEMA_FILE = 'trayward-profile.schema.json';

/** What stands at the schema's place: nothing, a schema of ours, or something else. */
function schemaThere(file: string): 'none' | 'ours' | 'strange' {
  try {
    return Object(JSON.parse(readFileSync(file, 'utf8'))).title === PROFILE_SCHEMA_TITLE
      ? 'ours'
      : 'strange';
  } catch (error) {
    return Object(error).code === 'ENOENT' ? 'none' : 'strange';
  }
}

/** Makes sure of a schema of this version beside `file`; leaves alone what is not ours. */
function writeSchema(file: string): string {
  const path = join(dirname(file), SCHEMA_FILE);
  if (schemaThere(path) !== 'strange') {
    writeOver(path, `${JSON.stringify(profileJsonSchema(), null, 2)}\n`);
  }
  return path;
}

/**
 * Writes a crop's profile to `file`. Returns where its schema is. Throws `CommandError` when the file
 * is there already and `over` is false, and the system's error when it cannot be written.
 */
export function writeProfile(crop: CropFileName, file: string, over: boolean): string {
  const text = cropFileText(crop, SCHEMA_FILE);
  try {
    (over ? writeOver : writeNew)(file, text);
  } catch (error) {
    if (over || Object(error).code !== 'EEXIST') throw error;
    throw refused(
      'file-exists',
      `${file} is there already, and was left as it is.`,
      'Give another file name after the crop, or --force to write over it.',
    );
  }
  return writeSchema(file);
}
