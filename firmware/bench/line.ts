/** The link's wire, which the fault `link-noise` makes bad. */
import { Random } from './random';

/** One byte in so many is hurt: about every third line of 150 bytes. */
const HURT_ONE_IN = 400;

/** Both ways of one board's wire. */
export class Line {
  readonly #random: Random;

  constructor(
    seed: number,
    private readonly isBad: () => boolean,
  ) {
    this.#random = new Random(seed ^ 0x117e);
  }

  /** The bytes as they arrive: on a bad wire some with a bit flipped, some missing. */
  pass(bytes: Uint8Array): Uint8Array {
    return this.isBad() ? hurt(bytes, this.#random) : bytes;
  }
}

function hurt(bytes: Uint8Array, random: Random): Uint8Array {
  const arrived: number[] = [];
  for (const byte of bytes) {
    const chance = random.share() * HURT_ONE_IN;
    if (chance < 0.5) continue;
    arrived.push(chance < 1 ? byte ^ (1 << (random.bits() & 7)) : byte);
  }
  return Uint8Array.from(arrived);
}
