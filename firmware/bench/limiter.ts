/** The runtime's limiter, simulated: it judges the code of each probe by itself, and holds an output that one speaks against. */
import { areLimiterCodes, LIMITER } from '../../shared/board/map';
import { PROBE_NAMES, PROBES, type ProbeName } from '../../shared/board/probes';

/** What the limiter goes by on one probe. */
interface Limits {
  readonly hotCode: number;
  readonly openCode: number;
  readonly shortCode: number;
}

/** The limits of the reference probe on a channel; 0: never too hot. */
function referenceLimitsOf(channel: number): Limits {
  const name = PROBE_NAMES[channel];
  const limiter = name === undefined ? null : PROBES[name].limiter;
  const hotCode = limiter === null ? 0 : limiter.hotCode;
  return { hotCode, openCode: LIMITER.openCode, shortCode: LIMITER.shortCode };
}

const REFERENCE_LIMITS: readonly Limits[] = PROBE_NAMES.map((_, channel) =>
  referenceLimitsOf(channel),
);

/** In a list, for they are read at every tick. */
const PROBE_ROWS = PROBE_NAMES.map((name) => {
  const { channel, limiter } = PROBES[name];
  return { name, channel, limiter };
});

export class SimulatedLimiter {
  /** Bits of `outputs()`: what is held. */
  held = 0;
  /** Codes as last read, by channel. */
  readonly codes: number[] = [];
  /** By channel: what was told of other probes than the reference one. */
  readonly #limits: (Limits | 'unfit')[] = [];
  #isOpen = false;

  /** The board starts: reference probes, until it is told of others. */
  startAfresh(): void {
    this.#limits.length = 0;
    this.#isOpen = true;
  }

  /** It is told no more. */
  close(): void {
    this.#isOpen = false;
  }

  /** Of another probe on a channel, once; returns whether it was taken. What cannot be a probe holds its output for good. */
  tell(channel: number, hotCode: number, openCode: number, shortCode: number): boolean {
    if (!this.#isOpen || this.#limits[channel] !== undefined) return false;
    if (PROBE_NAMES[channel] === undefined) return false;
    const taken = areLimiterCodes(hotCode, openCode, shortCode);
    this.#limits[channel] = taken ? { hotCode, openCode, shortCode } : 'unfit';
    return taken;
  }

  /** Reads the probes and judges their codes. */
  judge(read: (name: ProbeName) => number): void {
    this.held = 0;
    for (const { name, channel, limiter } of PROBE_ROWS) {
      const code = read(name);
      this.codes[channel] = code;
      const limits = this.#limits[channel] ?? REFERENCE_LIMITS[channel] ?? 'unfit';
      const isSound = limits !== 'unfit' && isBelievable(code, limits);
      if (limiter !== null && !isSound) this.held |= limiter.output;
    }
  }
}

/** Neither open nor short nor hotter than the fixed limit: a hotter probe gives a lower code. */
function isBelievable(code: number, { hotCode, openCode, shortCode }: Limits): boolean {
  return code <= openCode && code >= shortCode && code > hotCode;
}
