/**
 * What the board says no with: a stable word, and the numbers and words that go with it. The
 * sentences are the host's (`host/refusals.ts`): it has the room, and knows the grower's units.
 */
import type { ImageRefusalFacts } from '../profile/image';

/** Each reason with its facts, in the order they are sent as `error.data`. */
export interface RefusalFacts extends ImageRefusalFacts {
  /** The runtime's alone: with such a chip no firmware runs. */
  'flash-unfit': [holdsKb: number, leastKb: number, jedec: string];
  'storage-failing': [];
  'slot-failing': [];

  'no-measurement': [];
  'scale-uncalibrated': [];
  'zero-too-far': [shiftG: number];
  'no-such-calibration': [index: number, kept: number];
  'wrong-sign': [];
  'span-implausible': [countsPerG: number];
  'weight-too-small': [massG: number, cellG: number, leastG: number];
  'weight-too-large': [massG: number, cellG: number];
  'scale-faulty': [];
  'offset-too-large': [offsetK: number];
  'not-an-ntc': [];
  'ntc-out-of-range': [at25Ohm: number, bK: number];
  'ntc-too-coarse': [atC: number, stepK: number];
  'curve-implausible': [byItC: number, otherC: number];
  'run-too-long': [maxS: number];
  'pump-busy': [];
  'held-by-alarm': [alarm: string];
  'rate-implausible': [mlPerS: number];
  'crop-stands': [];
  'mat-held-by-alarm': [alarm: string];
  'usb-alone': [];
  /** Of every call that changes something, once the board is about to start again or to show its boot drive. */
  restarting: [];

  'no-profile': [];
  'not-sown': [];
  'last-stage': [];
  'weight-implausible': [trayG: number];
  'scale-not-ready': [state: string];
  'scale-unstable': [];
  'scale-empty': [];
  'still-draining': [lostG: number];
  'still-filling': [gainedG: number];
  'water-runs-in': [alarm: string];
  'dry-weight-unknown': [];
  'no-water-gained': [capacityG: number, dryG: number];
  'lighter-than-wool': [dryG: number, woolG: number];
  'not-dry': [dryG: number, mostG: number];
  'wool-holds-water': [waterG: number, dryG: number];
  'over-the-cell': [trayG: number, cellG: number];
  'more-than-wool-holds': [waterG: number, mostG: number];
  'less-than-wool-holds': [waterG: number, holdsG: number, dryG: number];
  'not-soaked': [trayG: number, leastG: number];

  'alarm-normal': [alarm: string];
  'still-present': [alarm: string];
  'shelved-too-long': [maxS: number];

  'chunk-out-of-order': [next: number];
  'image-incomplete': [arrived: number, bytes: number];
  'image-damaged': [];
  'no-such-stage': [stages: number];
  'no-load-open': [];

  /** From here on: the request itself is wrong, which is a mistake of a program. */
  'not-text': [];
  crc: [];
  'too-long': [];
  list: [];
  'not-plain': [];
  'unknown-name': [];
  'not-json': [];
  'not-a-request': [];
  'unknown-method': [];
  'no-crc': [];
  'bad-parameter': [name: string];
  'token-reused': [];
  /** The firmware itself failed. */
  fault: [];
}

export type RefusalReason = keyof RefusalFacts;
