/** What the grower wants to be remembered: it goes to the journal with its time, and changes nothing else. */
import { decodeUtf8, fromBase64 } from '../../shared/bytes';
import { isNote, notePieces } from '../../shared/journal/notes';
import type { Params, Result } from '../../shared/link/methods';
import { refuse } from '../link/refusal';
import type { Ticker } from '../tick/ticker';

/** Writes a note down, in as many entries as its text takes. Refuses what is no text, or too long. */
export function noteWrite({ tray }: Ticker, { data }: Params<'note.write'>): Result<'note.write'> {
  const bytes = fromBase64(data);
  const text = bytes === null ? null : decodeUtf8(bytes);
  if (text === null || !isNote(text)) refuse('bad-parameter', 'data');
  const pieces = notePieces(text);
  pieces.forEach((piece, i) => {
    tray.write({ kind: 'note', more: pieces.length - 1 - i, text: piece });
  });
  return { entries: pieces.length };
}
