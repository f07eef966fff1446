/** Enumerations from the types of the link, which have no list of their own. */
import * as z from 'zod';

/** An enumeration of every word of a type: one that is missing, or is none, does not compile. */
export const everyOf = <Word extends string>(words: Readonly<Record<Word, true>>) =>
  // Sound: the keys of a record by `Word` are its words.
  z.enum(Object.keys(words) as Word[]);
