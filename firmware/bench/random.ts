/**
 * The bench's only source of chance: a seeded xorshift32 generator (Marsaglia 2003, "Xorshift
 * RNGs") and normal deviates drawn from a table, because a sensor is read a million times a run.
 */

const NORMAL_BITS = 14;

export class Random {
  private state: number;

  constructor(seed: number) {
    // Neighbouring seeds must not give neighbouring runs (finaliser of MurmurHash3).
    let mixed = (seed | 0) ^ 0x9e3779b9;
    mixed = Math.imul(mixed ^ (mixed >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    mixed ^= mixed >>> 16;
    this.state = mixed === 0 ? 1 : mixed;
  }

  /** 32 random bits as an unsigned number. */
  bits(): number {
    let x = this.state;
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    this.state = x;
    return x >>> 0;
  }

  /** Uniform in [0, 1). */
  share(): number {
    return this.bits() / 0x1_0000_0000;
  }

  /** Uniform in [low, high). */
  between(low: number, high: number): number {
    return low + (high - low) * this.share();
  }

  /** Standard normal deviate, within about 4 sigma. */
  normal(): number {
    return NORMALS[this.bits() >>> (32 - NORMAL_BITS)] ?? 0;
  }
}

/** Normal deviates in antithetic pairs, scaled: the table's mean is 0 and its variance 1. */
const NORMALS = buildNormals(1 << NORMAL_BITS);

function buildNormals(count: number): Float64Array {
  const table = new Float64Array(count);
  const uniform = new Random(20_011);
  let squares = 0;
  for (let i = 0; i < count; i += 2) {
    // Box and Muller 1958.
    const radius = Math.sqrt(-2 * Math.log(1 - uniform.share()));
    const deviate = radius * Math.cos(2 * Math.PI * uniform.share());
    table[i] = deviate;
    table[i + 1] = -deviate;
    squares += 2 * deviate * deviate;
  }
  const scale = Math.sqrt(count / squares);
  return table.map((deviate) => deviate * scale);
}
