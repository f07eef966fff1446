/** The crop profiles that come with the program, as text to start from. Host only. */
import basil from '../../crops/basil.yaml';
import cucumber from '../../crops/cucumber.yaml';
import lettuce from '../../crops/lettuce.yaml';
import pepper from '../../crops/pepper.yaml';
import tomato from '../../crops/tomato.yaml';

const TEXTS = { basil, cucumber, lettuce, pepper, tomato } as const;

export type CropFileName = keyof typeof TEXTS;
export const CROP_FILE_NAMES: readonly CropFileName[] = [
  'basil',
  'cucumber',
  'lettuce',
  'pepper',
  'tomato',
];

/** What editors look for, to complete and check a profile. */
const SCHEMA_LINE = /^# yaml-language-server: \$schema=.*$/m;

/** The crop's profile with all its comments, for an editor that finds the schema at `schema`. */
export function cropFileText(crop: CropFileName, schema: string): string {
  return TEXTS[crop].replace(SCHEMA_LINE, `# yaml-language-server: $schema=${schema}`);
}
