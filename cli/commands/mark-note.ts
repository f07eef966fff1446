/** The part of `mark` that only writes down: notes, mists, where the lid went, and what was done to the light. */
import { encodeUtf8, toBase64 } from '../../shared/bytes';
import { isNote, NOTE_MAX_BYTES } from '../../shared/journal/notes';
import { LID_PLACES } from '../../shared/profile/profile';
import { choose } from '../arguments/choice';
import type { Answer, Context } from '../context';
import { usage } from '../failure';
import { wrap } from '../terminal/output';
import { lidNote, lidText } from '../words/lid';

/** What is written down, and changes nothing. */
export const NOTE_WORDS = ['note', 'misted', 'lid', 'light'] as const;
export type NoteWord = (typeof NOTE_WORDS)[number];

export const isNoteWord = (word: string | undefined): word is NoteWord =>
  NOTE_WORDS.some((one) => one === word);

const EXAMPLES: Readonly<Record<NoteWord, string>> = {
  note: 'For example: trayward mark note "leaned, lamp lowered"',
  misted: 'For example: trayward mark misted',
  lid: 'For example: trayward mark lid propped',
  light: 'For example: trayward mark light "16 h, lamp 10 cm higher"',
};

/** The text that stands in the journal. Throws usage errors. */
function noteText(word: NoteWord, said: string): string {
  if (word === 'misted') return said === '' ? 'misted' : `misted: ${said}`;
  if (said === '') throw usage(`\`mark ${word}\` says nothing.`, EXAMPLES[word]);
  if (word === 'note') return said;
  if (word === 'light') return `light: ${said}`;
  const place = choose(
    LID_PLACES,
    said.toLowerCase().replaceAll(' ', '-'),
    `A lid cannot be "${said}".`,
    `Places are: ${LID_PLACES.map(lidText).join(', ')}.`,
  );
  return lidNote(place);
}

/** Writes it into the journal of the controller. */
export async function writeNote(
  context: Context,
  word: NoteWord,
  said: readonly string[],
): Promise<Answer> {
  const text = noteText(word, said.join(' ').trim().normalize('NFC'));
  if (!isNote(text)) {
    throw usage(
      `A note is of ${NOTE_MAX_BYTES} letters at most, fewer with accents, on one line.`,
      'Say it shorter, or in two notes.',
    );
  }
  const client = await context.client();
  const { entries } = await client.call('note.write', { data: toBase64(encodeUtf8(text)) });
  return {
    result: { mark: word, text, entries },
    text: wrap(`In the journal: ${text}`, context.style.width),
  };
}
