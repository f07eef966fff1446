/** All that the script makes when it is first run lies in flash: what a later write does to it. */
import { describe, expect, it } from 'vitest';
import { BUILD_LIMIT_MS, cannotBuild, controlledBy, misbehaving, said } from './images';
import { CHANGES, WRITES } from './misdeeds/frozen';

const program = misbehaving('frozen');

describe.skipIf(cannotBuild)('a thing made at the first run', { timeout: BUILD_LIMIT_MS }, () => {
  it('can be changed later, as anywhere', async () => {
    const told = said(await program('changes'), CHANGES);
    expect(told).toEqual(['8', '21,2', 'yeslist,more', 'more', '3']);
  });

  it('cannot be changed when it is an array of bytes, a map, a set or a static field', async () => {
    expect(said(await program('writes'), WRITES)).toEqual(WRITES.map(() => 'TypeError'));
  });

  it('cannot be a regular expression, which a match would change: the build says so', async () => {
    const top = 'globalThis.pattern = /seed(s?)/;';
    await expect(controlledBy('pattern', {}, top)).rejects.toThrow('where it is used');
  });
});
