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
  type Result,
  RPC_ERROR,
} from '../../shared/link/methods';
import { changes, METHOD_FIELDS } from '../../shared/link/params';
import type { RefusalFacts, RefusalReason } from '../../shared/link/refusals';
import { Refusal } from './refusal';
import { screen } from './screen';

/** Longest text id, which the board repeats: memory, no more. */
const ID_CHARS_MAX = 32;

export type Handlers = {
  /** `door`: where it was asked. */
  readonly [M in MethodName]: (params: Params<M>, door: Door) => Result<M>;
};

export interface LinkServerOptions {
  readonly handlers: Handlers;
  /** While true every call that changes something is refused `restarting`, but for one answered before. */
  readonly isEnding?: () => boolean;
  readonly send: (door: Door, bytes: Uint8Array) => void;
  /**
   * Told of a mistake in the firmware: a handler that threw anything but a `Refusal`, or a reply
   * too long to send. `where` is the method, or `reply`; `thrown` what the handler threw.
   */
  readonly onFault?: (where: string, thrown: unknown) => void;
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

const failure = <R extends RefusalReason>(
  code: number,
  reason: R,
  ...facts: RefusalFacts[R]
): Outcome => `"error":${JSON.stringify({ code: code, message: reason, data: facts })}`;

const isRecord = (value: unknown): value is Untrusted =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const isId = (value: unknown): value is number | string =>
  Number.isFinite(value) || (typeof value === 'string' && value.length <= ID_CHARS_MAX);

const isMethodName = (name: string): name is MethodName => Object.hasOwn(METHOD_FIELDS, name);

/** The parameter that keeps a call from being as `METHOD_FIELDS` wants it, or null. */
function badParameter(method: MethodName, params: Untrusted): string | null {
  const fields = METHOD_FIELDS[method];
  const wrong = Object.entries(fields).find(([name, holds]) => !holds(params[name]));
  return wrong?.[0] ?? Object.keys(params).find((name) => !(name in fields)) ?? null;
}

/** `badParameter` as a proof for the compiler. */
const suits = <M extends MethodName>(
  method: M,
  params: Untrusted,
): params is Untrusted & Params<M> => badParameter(method, params) === null;

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

/** A reason that is told without facts. */
type BareReason = {
  [R in RefusalReason]: RefusalFacts[R] extends readonly [] ? R : never;
}[RefusalReason];

type Read =
  | { readonly reply: Reply; readonly request?: undefined }
  | { readonly request: Untrusted; readonly reply?: undefined };

/** A line that is no request, answered; or the request itself; or null for what needs no answer. */
function readRequest(line: ReceivedLine): Read | null {
  const refuse = (code: number, reason: BareReason, id: Id = null) => ({
    reply: { id, outcome: failure(code, reason) },
  });
  if (line.kind === 'damaged') {
    return refuse(line.why === 'not-text' ? RPC_ERROR.parse : RPC_ERROR.damagedLine, line.why);
  }
  const seen = screen(line.text);
  if (seen === 'answer') return null;
  if (seen !== 'request') {
    const isName = seen === 'unknown-name';
    const code = isName ? RPC_ERROR.invalidParams : RPC_ERROR.invalidRequest;
    return refuse(code, seen, seen === 'list' ? null : idIn(line.text));
  }
  const request = parse(line.text);
  if (request === undefined) return refuse(RPC_ERROR.parse, 'not-json');
  return isRecord(request) ? { request } : refuse(RPC_ERROR.invalidRequest, 'not-a-request');
}

/** A link server for all doors; the tokens it remembers are those of all doors together. */
export function createLinkServer({
  handlers,
  isEnding,
  send,
  onFault,
}: LinkServerOptions): LinkServer {
  const remembered: Remembered[] = [];

  function report(where: string, thrown: unknown = null): Outcome {
    try {
      onFault?.(where, thrown);
    } catch {
      // Whoever keeps the record has failed too; the reply still tells the host.
    }
    return failure(RPC_ERROR.internal, 'fault');
  }

  function run<M extends MethodName>(method: M, params: Params<M>, door: Door): Outcome {
    if (isEnding?.() && changes(method)) return failure(RPC_ERROR.busy, 'restarting');
    try {
      return `"result":${JSON.stringify(handlers[method](params, door))}`;
    } catch (error) {
      if (!(error instanceof Refusal)) return report(method, error);
      const { reason, facts } = error;
      return failure(reason === 'pump-busy' ? RPC_ERROR.busy : RPC_ERROR.refused, reason, ...facts);
    }
  }

  /** Runs a call, unless its token was answered before: then that answer again. */
  function runOnce<M extends MethodName>(
    method: M,
    params: Untrusted & Params<M>,
    door: Door,
  ): Outcome {
    const { token } = params;
    if (token === undefined) return run(method, params, door);
    const before = remembered.find((one) => one.token === token);
    if (before?.method === method) return before.outcome;
    if (before) return failure(RPC_ERROR.invalidParams, 'token-reused');
    const outcome = run(method, params, door);
    remembered.push({ token, method, outcome });
    if (remembered.length > LINK_LIMITS.rememberedTokens) remembered.shift();
    return outcome;
  }

  function call(method: string, params: unknown, checked: boolean, door: Door): Outcome {
    if (!isMethodName(method)) return failure(RPC_ERROR.methodNotFound, 'unknown-method');
    if (!checked && changes(method)) return failure(RPC_ERROR.refused, 'no-crc');
    if (!isRecord(params)) return failure(RPC_ERROR.invalidParams, 'bad-parameter', 'params');
    if (suits(method, params)) return runOnce(method, params, door);
    return failure(RPC_ERROR.invalidParams, 'bad-parameter', badParameter(method, params) ?? '');
  }

  function answer(line: ReceivedLine, door: Door): Reply | null {
    const read = readRequest(line);
    if (read === null || read.reply !== undefined) return read?.reply ?? null;
    const { jsonrpc, id, method, params } = read.request;
    const checked = line.kind === 'text' && line.checked;
    if (jsonrpc !== '2.0' || typeof method !== 'string' || (id !== undefined && !isId(id))) {
      return {
        id: isId(id) ? id : null,
        outcome: failure(RPC_ERROR.invalidRequest, 'not-a-request'),
      };
    }
    // A notification could fail without anybody knowing: nothing here is done on one.
    if (id === undefined) return null;
    return { id, outcome: call(method, params ?? {}, checked, door) };
  }

  const doors = DOORS.map((door) =>
    createLineDecoder(LINK_LIMITS.lineToBoardBytes, (line) => {
      const reply = answer(line, door);
      if (reply === null) return;
      const bytes = encodeReply(reply);
      const fits = bytes.length <= LINK_LIMITS.lineToHostBytes;
      send(door, fits ? bytes : encodeReply({ ...reply, outcome: report('reply') }));
    }),
  );

  return {
    receive(door, bytes) {
      doors[door]?.(bytes);
    },
  };
}
