/** The order of the test files: those that take minutes first, so that no processor waits for them at the end. */
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Folders and files by the processor time they take, as measured; whatever is not named comes last. */
const HEAVIEST_FIRST = [
  // More than an hour of the emulated board, in one file: nothing may come before it. Then what takes a minute in one.
  'tests/image/uses',
  'tests/image/commands',
  'tests/swarm/swarm',
  'tests/keep/page/browser',
  'tests/image/',
  'tests/nights/guard-matrix',
  'tests/fleet/',
  'tests/simulation/',
  'tests/nights/',
  'tests/cli/',
  'tests/unit/chip-translation',
  'tests/hardware/',
];

const rank = ({ moduleId }: TestSpecification): number => {
  const found = HEAVIEST_FIRST.findIndex((part) => moduleId.includes(part));
  return found < 0 ? HEAVIEST_FIRST.length : found;
};

export class HeaviestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    return [...files].sort((a, b) => rank(a) - rank(b) || (a.moduleId < b.moduleId ? -1 : 1));
  }
}
