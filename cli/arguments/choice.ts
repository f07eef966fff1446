/** Words from the command line that must be one of a few. */
import { didYouMean } from '../../shared/text/nearest';
import { usage } from '../failure';

/**
 * The one of `words` that `text` is. Throws a usage error: `none` says that there is no such thing, the
 * nearest word follows when one is near, and `next` says where all of them stand.
 */
export function choose<T extends string>(
  words: readonly T[],
  text: string,
  none: string,
  next: string,
  reason?: string,
): T {
  const chosen = words.find((word) => word === text);
  if (chosen !== undefined) return chosen;
  throw usage(`${none}${didYouMean(text, words)}`, next, reason);
}
