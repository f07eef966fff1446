/**
 * The order of the test files. Those that start many processes come first: to start one copies the tables of a worker's
 * memory, which grows from file to file. Then what takes long, and at the end what is over at once, so that no processor
 * waits for another.
 */
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Folders and files as measured; whatever is not named comes last. */
const ORDER = [
  'tests/keep/page/browser',
  'tests/cli/',
  'tests/fleet/',
  'tests/keep/',
  'tests/hardware/',
  // Minutes of processor each, of one file or of a folder.
  'tests/image/uses',
  'tests/image/commands',
  'tests/swarm/swarm',
  'tests/image/',
  'tests/nights/',
  'tests/season/',
  'tests/simulation/',
  'tests/unit/chip-translation',
];

const rank = ({ moduleId }: TestSpecification): number => {
  const found = ORDER.findIndex((part) => moduleId.includes(part));
  return found < 0 ? ORDER.length : found;
};

export class FileOrder extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    return [...files].sort((a, b) => rank(a) - rank(b) || (a.moduleId < b.moduleId ? -1 : 1));
  }
}
