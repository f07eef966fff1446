/** Notes of the journal as they were written: their pieces put together again. Pure. */
import type { DatedEntry } from './dating';

/** Whether `next` goes on with the note that `open` has so far. */
function goesOn(open: DatedEntry, last: DatedEntry, next: DatedEntry): boolean {
  return (
    open.entry.kind === 'note' &&
    next.entry.kind === 'note' &&
    next.entry.more === open.entry.more - 1 &&
    next.life === open.life &&
    next.entry.boot === open.entry.boot &&
    next.entry.sequence === last.entry.sequence + 1
  );
}

/**
 * The entries with each note as one: the first of its pieces, with the whole text. `more` counts the pieces that were
 * never written, because the power failed, or are damaged.
 */
export function wholeNotes(entries: readonly DatedEntry[]): readonly DatedEntry[] {
  const whole: DatedEntry[] = [];
  let last: DatedEntry | null = null;
  for (const one of entries) {
    const open = whole.at(-1);
    if (
      open?.entry.kind === 'note' &&
      one.entry.kind === 'note' &&
      last !== null &&
      goesOn(open, last, one)
    ) {
      const { more, text } = one.entry;
      whole[whole.length - 1] = {
        ...open,
        entry: { ...open.entry, more, text: open.entry.text + text },
      };
    } else whole.push(one);
    last = one;
  }
  return whole;
}
