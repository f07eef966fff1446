/** A test for each statement of the specification, under its identifier. */
import { it } from 'vitest';

/** `ids` are statements that say the same of the same thing; each is a test of its own. */
export function holds(
  ids: readonly `tck-id-${string}`[],
  words: string,
  check: () => void | Promise<void>,
): void {
  for (const id of ids) it(`${id}: ${words}`, check);
}
