/** A profile file as YAML: its values, and where in the text each of them stands. */
import {
  type Document,
  isAlias,
  isMap,
  isNode,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  parseAllDocuments,
  visit,
} from 'yaml';
import { type ProblemContent, pathText, type SourcePath, type SourceProblem } from './problem';
import { type FileWords, syntaxSentence, untidyText } from './syntax';

/** More errors than this in one file have one cause. */
const SYNTAX_ERRORS_MAX = 10;
const FOUND_MAX_CHARS = 40;

/** A parsed file. */
export interface Source {
  readonly file: string;
  readonly value: unknown;
  /** A problem that points at the value of `path` (or its key), or at the nearest thing around it. */
  problemAt(path: SourcePath, about: ProblemContent, pointAt?: 'key' | 'value'): SourceProblem;
}

export type SourceResult =
  | { readonly ok: true; readonly source: Source }
  | { readonly ok: false; readonly problems: readonly SourceProblem[] };

const PROFILE_WORDS: FileWords = {
  one: 'profile',
  many: 'profiles',
  empty: '`trayward profile new pepper` writes one to start from.',
};

/**
 * Reads YAML; `file` is only for messages. Refuses what is malformed, what could mean two things, and
 * what is made to exhaust the parser. Never throws.
 */
export function readSource(text: string, file: string, words = PROFILE_WORDS): SourceResult {
  const counter = new LineCounter();
  const refuse = (...found: readonly { at: number; why: string }[]): SourceResult => ({
    ok: false,
    problems: found.map(({ at, why }) => ({
      severity: 'error',
      file,
      ...position(counter, at),
      path: '',
      found: null,
      allowed: null,
      why,
      source: null,
    })),
  });
  const untidy = untidyText(text, words);
  if (untidy !== null) {
    for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) {
      counter.addNewLine(at + 1);
    }
    return refuse(untidy);
  }
  const documents = parseDocuments(text, counter);
  const errors = documents.flatMap((document) => [...document.errors, ...document.warnings]);
  if (errors.length > 0) {
    const found = errors.map((error) => ({ at: error.pos[0], why: syntaxSentence(error) }));
    const lines = found.map(({ at }) => counter.linePos(at).line);
    // The second error of a line is nearly always the first one's echo.
    return refuse(
      ...found.filter((_, i) => lines.indexOf(lines[i] ?? 0) === i).slice(0, SYNTAX_ERRORS_MAX),
    );
  }
  const [document, second] = documents;
  if (document === undefined || document.contents === null) {
    return refuse({
      at: 0,
      why: `The file is empty. ${words.empty}`,
    });
  }
  if (second !== undefined) {
    return refuse({
      at: second.range[0],
      why: `A second document begins here ("---"). One file holds one ${words.one}: put the other in a file of its own.`,
    });
  }
  const indirect = findIndirect(document, words);
  if (indirect !== null) return refuse(indirect);
  return { ok: true, source: createSource(document, text, file, counter) };
}

function parseDocuments(text: string, lineCounter: LineCounter): readonly Document.Parsed[] {
  const documents = parseAllDocuments(text, {
    lineCounter,
    prettyErrors: false,
    strict: true,
    uniqueKeys: true,
    merge: false,
    logLevel: 'error',
  });
  return Array.isArray(documents) ? documents : [];
}

function createSource(
  document: Document.Parsed,
  text: string,
  file: string,
  counter: LineCounter,
): Source {
  return {
    file,
    value: document.toJS(),
    problemAt(path, { severity, why, allowed, source }, pointAt = 'value') {
      const { at, node } = locate(document, path, pointAt);
      return {
        severity: severity ?? 'error',
        file,
        ...position(counter, at),
        path: pathText(path),
        found: node === null ? null : foundText(node, text),
        allowed: allowed ?? null,
        why,
        source: source ?? null,
      };
    },
  };
}

interface Place {
  readonly at: number;
  readonly node: Node | null;
}

/** Where `path` stands; if it does not exist, where the deepest part of it stands that does. */
function locate(document: Document.Parsed, path: SourcePath, pointAt: 'key' | 'value'): Place {
  let node: unknown = document.contents;
  let at = start(node) ?? 0;
  for (const [depth, step] of path.entries()) {
    const child = childOf(node, step);
    if (child === null) return { at, node: null };
    const isLast = depth === path.length - 1;
    // What is missing inside a mapping is looked for at the mapping's own key.
    const byKey = isLast ? pointAt === 'key' : isMap(child.value);
    at = (byKey ? child.keyAt : null) ?? start(child.value) ?? child.keyAt ?? at;
    node = child.value;
  }
  return { at, node: isNode(node) ? node : null };
}

function childOf(
  node: unknown,
  step: string | number,
): { readonly keyAt: number | null; readonly value: unknown } | null {
  if (isMap(node)) {
    const pair = node.items.find(({ key }) => isScalar(key) && String(key.value) === String(step));
    return pair === undefined ? null : { keyAt: start(pair.key), value: pair.value };
  }
  if (isSeq(node) && typeof step === 'number' && step < node.items.length) {
    return { keyAt: null, value: node.items[step] };
  }
  return null;
}

function start(node: unknown): number | null {
  return isNode(node) && node.range ? node.range[0] : null;
}

function foundText(node: Node, text: string): string | null {
  if (isSeq(node) && node.items.length === 0) return 'an empty list';
  if (!isScalar(node) || !node.range) return null;
  const raw = text.slice(node.range[0], node.range[1]).replace(/\s+/g, ' ').trim();
  if (raw === '') return null;
  return raw.length > FOUND_MAX_CHARS ? `${raw.slice(0, FOUND_MAX_CHARS)}...` : raw;
}

/** The first anchor, alias or tag: with these a value stands elsewhere, or means something else. */
function findIndirect(
  document: Document.Parsed,
  { many }: FileWords,
): { at: number; why: string } | null {
  let found: { at: number; why: string } | null = null;
  visit(document, {
    Node(_, node) {
      const at = start(node) ?? 0;
      if (isAlias(node) || node.anchor !== undefined) {
        found = {
          at,
          why: `Anchors and aliases (& and *) are not used in ${many}: write the value out where it counts.`,
        };
      } else if (node.tag !== undefined) {
        found = { at, why: `Tags (!) are not used in ${many}: write the plain value.` };
      }
      return found === null ? undefined : visit.BREAK;
    },
  });
  return found;
}

function position(counter: LineCounter, at: number): { line: number; column: number } {
  const { line, col } = counter.linePos(at);
  return { line: Math.max(line, 1), column: Math.max(col, 1) };
}
