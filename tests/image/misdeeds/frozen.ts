/** Programs that write to what was made at the first run. */
import { type Misdeeds, saying } from '../misdeed';

/** At the top of the script, so that the build makes it. It shortens names that are not quoted. */
export const FROZEN_TOP = `
const bytes = new Uint8Array(4), map = new Map(), set = new Set(), plain = { 'list': [1] };
let count = 7;
class Counter { static made = 0; own = { n: 1 }; }
const counter = new Counter();`;

export const CHANGES = [
  'count += 1',
  'plain["list"].push(2) + plain["list"].join()',
  '(plain["more"] = "yes") + Object.keys(plain).join()',
  'delete plain["list"] && Object.keys(plain).join()',
  'counter.own.n++ + counter.own.n',
];
export const WRITES = [
  'bytes[0] = 1',
  'bytes.fill(1)',
  'native.writeU16(bytes, 0, 1)',
  'board.flashRead(0, bytes)',
  'map.set(1, 1)',
  'map.clear()',
  'set.add(1)',
  'Counter.made = 1',
];
export const FROZEN = {
  changes: saying(CHANGES),
  writes: saying(WRITES),
} as const satisfies Misdeeds;
