/** What is wrong with a text before it can be read as YAML, in words for a grower. */
import type { YAMLError } from 'yaml';

/** A profile of sixteen stages with a comment on every line stays well below this. */
const TEXT_MAX_CHARS = 64 * 1024;
/** Both limits keep the YAML parser, which recurses, away from its end; no profile comes near them. */
const LINE_MAX_CHARS = 500;
const BRACKETS_MAX = 32;

/** What kind of file it is, for sentences. */
export interface FileWords {
  /** `profile`. */
  readonly one: string;
  readonly many: string;
  /** What to do about an empty one. */
  readonly empty: string;
}

/** Offset and reason when `text` is too long, too deep or no plain text; null when it may be parsed. */
export function untidyText(
  text: string,
  { one }: FileWords,
): { readonly at: number; readonly why: string } | null {
  if (text.length > TEXT_MAX_CHARS) {
    return {
      at: 0,
      why: `The file has ${text.length} characters, and a ${one} at most ${TEXT_MAX_CHARS}. Is it the right file?`,
    };
  }
  let open = 0;
  let lineStart = 0;
  for (let at = 0; at < text.length; at++) {
    const char = text.charAt(at);
    if (char === '\n') lineStart = at + 1;
    else if (char === '[' || char === '{') open++;
    else if (char === ']' || char === '}') open = Math.max(0, open - 1);
    else if (char < ' ' && char !== '\r' && char !== '\t') {
      return {
        at,
        why: 'There is a control character here: this is no plain text. Is it the right file?',
      };
    }
    if (at - lineStart > LINE_MAX_CHARS) {
      return {
        at: lineStart,
        why: `This line is longer than ${LINE_MAX_CHARS} characters. Break it.`,
      };
    }
    if (open > BRACKETS_MAX) {
      return { at, why: `Brackets are nested far deeper here than any ${one} needs.` };
    }
  }
  return null;
}

const SENTENCES: Partial<Record<YAMLError['code'], string>> = {
  TAB_AS_INDENT: 'A tab indents this line, and YAML takes spaces only. Use two spaces per level.',
  DUPLICATE_KEY:
    'This key stands here twice, and which one counts would be a guess. Keep one of them.',
  BAD_INDENT:
    'This line is not indented like its neighbours, or a bracket above it was never closed.',
  MULTILINE_IMPLICIT_KEY: 'A key must stand on one line, with a colon and a space after it.',
  MISSING_CHAR: 'Something is missing here: a closing quote or bracket, a comma, or a colon.',
  BLOCK_AS_IMPLICIT_KEY:
    'Two keys stand on one line, or the next line is indented too far. Begin each key on its own line; put a value that contains ": " in quotes.',
  BAD_SCALAR_START: 'A plain value cannot begin with this character. Put the value in quotes.',
  TAG_RESOLVE_FAILED: 'Tags (!) are not used here: write the plain value.',
  BAD_ALIAS: 'A plain value cannot begin with "*" or "&". Put the value in quotes.',
};

/** The error of the YAML parser as advice. */
export function syntaxSentence({ code, message }: YAMLError): string {
  return SENTENCES[code] ?? `This is not well-formed YAML: ${message}.`;
}
