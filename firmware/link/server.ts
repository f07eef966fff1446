/**
 * The board's end of the link: lines in, replies out, over any door. Knows JSON-RPC 2.0, checks
 * parameters, and repeats the reply to a token it has answered before; what a method does is up to
 * the handlers. Never throws, whatever arrives.
 */
import { DOORS, type Door } from '../../shared/board/map';
import { createLineDecoder, encodeLine, type ReceivedLine } from '../../shared/link/framing';
import {
  LINK_LIMITS,
  type MethodName,
  type Params,
  type RefusalData,
  type Result,
  RPC_ERROR,
} from '../../shared/link/methods';
import { METHOD_NAMES, METHOD_RULES } from '../../shared/link/params';
import { nearest } from '../../shared/text/nearest';
import { REQUEST_NAMES, screen } from './screen';

/** Longest text id, and how much of somebody else's words an error repeats: memory, no more. */
const ID_CHARS_MAX = 32;
const QUOTE_CHARS_MAX = 40;

/** Thrown by a handler that understood and will not: `why` is a sentence a grower can act on. */
export class Refusal extends Error {
  constructor(
    /** Stable word for programs, such as `scale-unstable`. */
    readonly reason: string,
    readonly why: string,
    /** `RPC_ERROR.busy` when it would work later by itself. */
    readonly code: typeof RPC_ERROR.refused | typeof RPC_ERROR.busy = RPC_ERROR.refused,
  ) {
    super(why);
  }
}

export type Handlers = {
  readonly [M in MethodName]: (params: Params<M>) => Result<M>;
};

export interface LinkServerOptions {
  readonly handlers: Handlers;
  readonly send: (door: Door, bytes: Uint8Array) => void;
  /**
   * Told of a mistake in the firmware: a handler that threw anything but a `Refusal`, or a reply
   * too long to send. `where` is the method, or `reply`.
   */
  readonly onFault?: (where: string, error: unknown) => void;
}

export interface LinkServer {
  /** Takes bytes of a door in any pieces; answers each complete line at once. */
  receive(door: Door, bytes: Uint8Array): void;
}

type Id = number | string | null;
type Untrusted = Readonly<Record<string, unknown>>;

/** A reply without its envelope: `"result":...` or `"error":...`. */
type Outcome = string;

interface Reply {
  readonly id: Id;
  readonly outcome: Outcome;
}

interface Remembered {
  readonly token: unknown;
  readonly method: MethodName;
  readonly outcome: Outcome;
}

const failure = (code: number, message: string, data?: RefusalData): Outcome =>
  `"error":${JSON.stringify({ code, message, data })}`;

const refusal = (code: number, reason: string, why: string): Outcome =>
  failure(code, why, { why, reason });

/** A complaint about a word that is not among `words`, with the one that was probably meant. */
function unknown(what: string, word: string, words: readonly string[]): string {
  const near = nearest(word, words);
  const hint = near === null ? '' : ` Did you mean '${near}'?`;
  return `There is no ${what} '${word.slice(0, QUOTE_CHARS_MAX)}'.${hint}`;
}

const isRecord = (value: unknown): value is Untrusted =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const isId = (value: unknown): value is number | string =>
  Number.isFinite(value) || (typeof value === 'string' && value.length <= ID_CHARS_MAX);

const isMethodName = (name: string): name is MethodName => Object.hasOwn(METHOD_RULES, name);

/** What is wrong with the parameters of a call, or null when they are as `METHOD_RULES` wants. */
function faultIn(method: MethodName, params: Untrusted): string | null {
  const fields = METHOD_RULES[method].fields;
  const names = Object.keys(fields);
  for (const name of Object.keys(params)) {
    if (!names.includes(name)) return unknown(`parameter of ${method} called`, name, names);
  }
  for (const [name, field] of Object.entries(fields)) {
    if (!field.holds(params[name])) return `'${name}' of ${method} must be ${field.says}.`;
  }
  return null;
}

/** `faultIn` as a proof for the compiler. */
const suits = <M extends MethodName>(
  method: M,
  params: Untrusted,
): params is Untrusted & Params<M> => faultIn(method, params) === null;

const encodeReply = ({ id, outcome }: Reply): Uint8Array =>
  encodeLine(`{"jsonrpc":"2.0","id":${JSON.stringify(id)},${outcome}}`);

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** The id of a request that will not be parsed, where it is a plain number. */
function idIn(text: string): Id {
  const digits = /"id"\s*:\s*(\d{1,15})\s*[,}]/.exec(text)?.[1];
  return digits === undefined ? null : Number(digits);
}

/** A line that is no request, answered; or the request itself; or null for what needs no answer. */
function readRequest(line: ReceivedLine): { reply: Reply } | { request: Untrusted } | null {
  const refuse = (code: number, message: string, id: Id = null) => ({
    reply: { id, outcome: failure(code, message) },
  });
  if (line.kind === 'damaged') {
    return line.why === 'not-text'
      ? refuse(RPC_ERROR.parse, 'The line is not UTF-8 text.')
      : refuse(
          RPC_ERROR.damagedLine,
          line.why === 'crc'
            ? 'The CRC of the line does not match: send it again.'
            : `The line is longer than ${LINK_LIMITS.lineToBoardBytes} bytes.`,
        );
  }
  const seen = screen(line.text);
  switch (seen.kind) {
    case 'answer':
      return null;
    case 'list':
      return refuse(RPC_ERROR.invalidRequest, 'Batches are not taken: send one request a line.');
    case 'not-plain':
      return refuse(
        RPC_ERROR.invalidRequest,
        'A request here has no lists, no escapes and no object but its parameters.',
        idIn(line.text),
      );
    case 'unknown-name':
      return refuse(
        RPC_ERROR.invalidParams,
        unknown('field or parameter', seen.name, REQUEST_NAMES),
        idIn(line.text),
      );
  }
  const request = parse(line.text);
  if (request === undefined) return refuse(RPC_ERROR.parse, 'The line is not JSON.');
  if (!isRecord(request)) return refuse(RPC_ERROR.invalidRequest, 'A request is a JSON object.');
  return { request };
}

/** A link server for all doors; the tokens it remembers are those of all doors together. */
export function createLinkServer({ handlers, send, onFault }: LinkServerOptions): LinkServer {
  const remembered: Remembered[] = [];

  function report(where: string, error: unknown): Outcome {
    try {
      onFault?.(where, error);
    } catch {
      // Whoever keeps the record has failed too; the reply still tells the host.
    }
    return failure(RPC_ERROR.internal, `The firmware failed in ${where}.`);
  }

  function run<M extends MethodName>(method: M, params: Params<M>): Outcome {
    try {
      return `"result":${JSON.stringify(handlers[method](params))}`;
    } catch (error) {
      return error instanceof Refusal
        ? refusal(error.code, error.reason, error.why)
        : report(method, error);
    }
  }

  /** Runs a call, unless its token was answered before: then that answer again. */
  function runOnce<M extends MethodName>(method: M, params: Untrusted & Params<M>): Outcome {
    const { token } = params;
    if (token === undefined) return run(method, params);
    const before = remembered.find((one) => one.token === token);
    if (before?.method === method) return before.outcome;
    if (before) return failure(RPC_ERROR.invalidParams, 'This token was used for another method.');
    const outcome = run(method, params);
    remembered.push({ token, method, outcome });
    if (remembered.length > LINK_LIMITS.rememberedTokens) remembered.shift();
    return outcome;
  }

  function call(method: unknown, params: unknown, checked: boolean): Outcome {
    if (typeof method !== 'string') {
      return failure(RPC_ERROR.invalidRequest, "A request has a text 'method'.");
    }
    if (!isMethodName(method)) {
      return failure(RPC_ERROR.methodNotFound, unknown('method', method, METHOD_NAMES));
    }
    if (!checked && !METHOD_RULES[method].reads) {
      return refusal(
        RPC_ERROR.refused,
        'no-crc',
        `${method} changes something: it is done only when the line carries its CRC.`,
      );
    }
    if (!isRecord(params)) return failure(RPC_ERROR.invalidParams, "'params' is an object.");
    return suits(method, params)
      ? runOnce(method, params)
      : failure(RPC_ERROR.invalidParams, faultIn(method, params) ?? '');
  }

  function answer(line: ReceivedLine): Reply | null {
    const read = readRequest(line);
    if (read === null || 'reply' in read) return read?.reply ?? null;
    const { jsonrpc, id, method, params } = read.request;
    const checked = line.kind === 'text' && line.checked;
    if (jsonrpc !== '2.0' || (id !== undefined && !isId(id))) {
      return {
        id: isId(id) ? id : null,
        outcome: failure(
          RPC_ERROR.invalidRequest,
          `A request has "jsonrpc":"2.0", and an id that is a number or at most ${ID_CHARS_MAX} characters.`,
        ),
      };
    }
    // A notification could fail without anybody knowing: nothing here is done on one.
    if (id === undefined) return null;
    return { id, outcome: call(method, params ?? {}, checked) };
  }

  const tooLong = (bytes: number): Outcome =>
    report('reply', new RangeError(`a reply of ${bytes} bytes`));

  const doors = DOORS.map((door) =>
    createLineDecoder(LINK_LIMITS.lineToBoardBytes, (line) => {
      const reply = answer(line);
      if (reply === null) return;
      const bytes = encodeReply(reply);
      const fits = bytes.length <= LINK_LIMITS.lineToHostBytes;
      send(door, fits ? bytes : encodeReply({ ...reply, outcome: tooLong(bytes.length) }));
    }),
  );

  return {
    receive(door, bytes) {
      doors[door]?.(bytes);
    },
  };
}
