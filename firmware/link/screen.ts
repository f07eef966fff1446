/**
 * A look at a request before it is parsed. Every request of this link is an object of known names
 * with at most one such object inside, no list and no escape, so anything else can be refused before
 * the parser spends memory on it: deep nesting costs stack, and the chip's engine keeps each new
 * property name for ever.
 */
import { METHOD_FIELDS } from '../../shared/link/params';

/** Braces that open in a request: its own, and that of its parameters. */
const OBJECTS_MAX = 2;
/** Names in a request: the envelope's four and the parameters of the longest method, with room. */
const NAMES_MAX = 24;

/** Every name a request may have: those of the envelope, and every parameter of every method. */
const KNOWN = new Set([
  'jsonrpc',
  'id',
  'method',
  'params',
  ...Object.values(METHOD_FIELDS).flatMap((fields) => Object.keys(fields)),
]);

/** What was seen. `answer`: a reply, as when a terminal or a bridged cable echoes our own words. */
export type Screened = 'request' | 'answer' | 'list' | 'not-plain' | 'unknown-name';

function opensTooOften(text: string): boolean {
  let at = -1;
  for (let opened = 0; opened <= OBJECTS_MAX; opened++) {
    at = text.indexOf('{', at + 1);
    if (at < 0) return false;
  }
  return true;
}

/** Whether the next thing after `from` is the colon that makes the string before it a name. */
function namesSomething(text: string, from: number): boolean {
  let at = from;
  while (text.charAt(at) === ' ' || text.charAt(at) === '\t') at++;
  return text.charAt(at) === ':';
}

/** What kind of line `text` is. Whether it is sound JSON, the parser says afterwards. */
export function screen(text: string): Screened {
  if (text.trimStart().startsWith('[')) return 'list';
  let names = 0;
  let open = text.indexOf('"');
  while (open >= 0) {
    const close = text.indexOf('"', open + 1);
    if (close < 0) break;
    if (namesSomething(text, close + 1)) {
      const name = text.slice(open + 1, close);
      if (name === 'result' || name === 'error') return 'answer';
      if (!KNOWN.has(name)) return 'unknown-name';
      if (++names > NAMES_MAX) return 'not-plain';
    }
    open = text.indexOf('"', close + 1);
  }
  const plain = !text.includes('\\') && !text.includes('[') && !opensTooOften(text);
  return plain ? 'request' : 'not-plain';
}
