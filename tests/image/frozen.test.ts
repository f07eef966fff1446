/** All that the script makes when it is first run lies in flash: what a later write does to it. */
import { describe, expect, it } from 'vitest';
import { BUILD_LIMIT_MS, cannotBuild, controlledBy, misbehaving, said, saying } from './images';

/** At the top of the script, so that the build makes it. It shortens names that are not quoted. */
const TOP = `
const bytes = new Uint8Array(4), map = new Map(), set = new Set(), plain = { 'list': [1] };
let count = 7;
class Counter { static made = 0; own = { n: 1 }; }
const counter = new Counter();`;

const CHANGES = [
  'count += 1',
  'plain["list"].push(2) + plain["list"].join()',
  '(plain["more"] = "yes") + Object.keys(plain).join()',
  'delete plain["list"] && Object.keys(plain).join()',
  'counter.own.n++ + counter.own.n',
];
const WRITES = [
  'bytes[0] = 1',
  'bytes.fill(1)',
  'native.writeU16(bytes, 0, 1)',
  'board.flashRead(0, bytes)',
  'map.set(1, 1)',
  'map.clear()',
  'set.add(1)',
  'Counter.made = 1',
];
const program = misbehaving('frozen', { changes: saying(CHANGES), writes: saying(WRITES) }, TOP);

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
