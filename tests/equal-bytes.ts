/**
 * Bytes that are the same are found the same at once. Vitest looks at each of them as a property with a name, which for a
 * flash of two megabytes takes seconds; where they differ it still does, and tells which.
 */
import { expect } from 'vitest';

/** A worker runs this before each of its files and keeps what it told `expect`. */
const TOLD = Symbol.for('trayward.equal-bytes');
const kept = globalThis as { [TOLD]?: true };

function areSameBytes(a: unknown, b: unknown): true | undefined {
  if (!(a instanceof Uint8Array && b instanceof Uint8Array)) return undefined;
  if (a.constructor !== b.constructor) return undefined;
  return Buffer.compare(a, b) === 0 ? true : undefined;
}

if (!kept[TOLD]) {
  expect.addEqualityTesters([areSameBytes]);
  kept[TOLD] = true;
}
