/** How often a token may be guessed, by one and by all together. The clock is one that nobody sets. */
import { isIPv6 } from 'node:net';
import { TOKEN_LIMITS } from '../limits';

/** Tries that are left, and when they were counted. */
interface Purse {
  readonly left: number;
  readonly atMs: number;
}

/** `wait`: nobody has looked at the guess; it may be tried again after so long. */
export type Attempt =
  | { readonly is: 'right' | 'wrong' }
  | { readonly is: 'wait'; readonly ms: number };

/** Who guesses: behind one network of the sixth version there are more addresses than anybody could count. */
export function guesserOf(address: string): string {
  const plain = address.replace(/^::ffff:/i, '').replace(/%.*$/, '');
  if (!isIPv6(plain)) return plain;
  const [head = '', tail = ''] = plain.split('::');
  const first = head.split(':').filter((part) => part !== '');
  const last = tail.split(':').filter((part) => part !== '');
  const gap = plain.includes('::') ? 8 - first.length - last.length : 0;
  const zeros = Array.from({ length: Math.max(0, gap) }, () => '0');
  return [...first, ...zeros, ...last].slice(0, 4).join(':');
}

export class Guesses {
  readonly #ofOne = new Map<string, Purse>();
  #ofAll: Purse | null = null;

  /** Looks at a guess, unless too many were wrong before. A right one costs nothing. */
  attempt(address: string, nowMs: number, isRight: () => boolean): Attempt {
    const { ofOneMost, ofOneEveryMs, ofAllMost, ofAllEveryMs } = TOKEN_LIMITS;
    const guesser = guesserOf(address);
    const one = filled(this.#ofOne.get(guesser) ?? null, ofOneMost, ofOneEveryMs, nowMs);
    const all = filled(this.#ofAll, ofAllMost, ofAllEveryMs, nowMs);
    const waitMs = Math.max(waitFor(one, ofOneEveryMs, nowMs), waitFor(all, ofAllEveryMs, nowMs));
    if (waitMs > 0) return { is: 'wait', ms: waitMs };
    if (isRight()) return { is: 'right' };
    this.#ofAll = { ...all, left: all.left - 1 };
    this.#ofOne.delete(guesser);
    this.#ofOne.set(guesser, { ...one, left: one.left - 1 });
    const [oldest] = this.#ofOne.keys();
    if (this.#ofOne.size > TOKEN_LIMITS.addressesMost && oldest !== undefined)
      this.#ofOne.delete(oldest);
    return { is: 'wrong' };
  }
}

/** One more try for each `everyMs` that has passed, up to `most`. */
function filled(purse: Purse | null, most: number, everyMs: number, nowMs: number): Purse {
  if (purse === null) return { left: most, atMs: nowMs };
  const more = Math.floor((nowMs - purse.atMs) / everyMs);
  const left = Math.min(most, purse.left + more);
  return { left, atMs: left === most ? nowMs : purse.atMs + more * everyMs };
}

const waitFor = ({ left, atMs }: Purse, everyMs: number, nowMs: number): number =>
  left >= 1 ? 0 : atMs + everyMs - nowMs;
