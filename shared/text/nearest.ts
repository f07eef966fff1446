/** The word a person probably meant. */

/** More edits than this share of the longer word, and it was no slip of the finger. */
const SLIP_SHARE = 0.4;

/** Edits (insert, delete, replace, swap of neighbours) between two words: optimal string alignment. */
function edits(a: string, b: string): number {
  let before: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      row[j] = Math.min(
        (above[j] ?? 0) + 1,
        (row[j - 1] ?? 0) + 1,
        (above[j - 1] ?? 0) + (same ? 0 : 1),
        swapped ? (before[j - 2] ?? 0) + 1 : Number.POSITIVE_INFINITY,
      );
    }
    before = above;
    above = row;
  }
  return above[b.length] ?? 0;
}

/** The one of `words` that differs from `word` by the least share of it, or null when none is near. */
export function nearest(word: string, words: readonly string[]): string | null {
  let best: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const candidate of words) {
    const longer = Math.max(candidate.length, word.length);
    // Lengths alone may rule it out; it also bounds the work for a very long word.
    if (Math.abs(candidate.length - word.length) > SLIP_SHARE * longer) continue;
    const share = edits(word, candidate) / longer;
    if (share <= SLIP_SHARE && share < least) {
      least = share;
      best = candidate;
    }
  }
  return best;
}

/** ` Did you mean "dose"?` for the word that is near, to follow a sentence; empty when none is. */
export function didYouMean(word: string, words: readonly string[]): string {
  const near = nearest(word, words);
  return near === null ? '' : ` Did you mean "${near}"?`;
}
