/** A way out for messages, and how it fails: in plain words, with no secret in them. */
import { createHash } from 'node:crypto';
import type { Message } from '../outbox/state';

/** A message to one person, as a door takes it. */
export interface Letter {
  /** The same each time it is sent: by it whoever receives it knows a repetition. */
  readonly id: string;
  /** Of the topic it belongs to, once for a keeper; null where it stands alone. */
  readonly thread: string | null;
  readonly to: string | null;
  /** Name of the keeper. */
  readonly from: string;
  readonly message: Message;
  /** When it leaves, Unix ms. */
  readonly nowMs: number;
}

export interface Door {
  /** Resolves once the server has acknowledged it. Throws `DoorError`. */
  send(letter: Letter): Promise<void>;
  /** Keeps up what stands between messages, such as a last will. Throws `DoorError`. */
  tend?(): Promise<void>;
  close(): Promise<void>;
}

/** `door`: nothing goes out here now. `message`: this one was refused, another may be taken. */
export class DoorError extends Error {
  constructor(
    readonly scope: 'door' | 'message',
    message: string,
    /** What the server asks to be waited for at least. */
    readonly waitMs = 0,
  ) {
    super(message);
    this.name = 'DoorError';
  }
}

/** A short name that no two of `parts` share. */
export const idOf = (...parts: readonly string[]): string =>
  createHash('sha256').update(parts.join('\n')).digest('hex').slice(0, 32);

const TRUST = 'Put the certificate of its authority into a file, and name that as "ca:".';

/** What the system and TLS say by their codes, in a grower's words. */
const REASONS: Readonly<Record<string, string>> = {
  ECONNREFUSED: 'Nothing listens there.',
  ECONNRESET: 'The line was cut.',
  EPIPE: 'The line was cut.',
  ENOTFOUND: 'No server of that name is known.',
  EAI_AGAIN: 'No server of that name is known now: is the network there?',
  EDNS: 'No server of that name is known now: is the network there?',
  EHOSTUNREACH: 'There is no way to that server.',
  ENETUNREACH: 'There is no network.',
  ETIMEDOUT: 'It does not answer.',
  UND_ERR_CONNECT_TIMEOUT: 'It does not answer.',
  UND_ERR_SOCKET: 'The line was cut.',
  CERT_HAS_EXPIRED: 'Its certificate has expired: whoever runs it must renew that.',
  CERT_NOT_YET_VALID: 'Its certificate is not valid yet: is the date of this computer right?',
  DEPTH_ZERO_SELF_SIGNED_CERT: `Nobody that this computer trusts has signed its certificate. ${TRUST}`,
  SELF_SIGNED_CERT_IN_CHAIN: `Nobody that this computer trusts has signed its certificate. ${TRUST}`,
  UNABLE_TO_VERIFY_LEAF_SIGNATURE: `Nobody that this computer trusts has signed its certificate. ${TRUST}`,
  UNABLE_TO_GET_ISSUER_CERT_LOCALLY: `Nobody that this computer trusts has signed its certificate. ${TRUST}`,
  ERR_TLS_CERT_ALTNAME_INVALID: 'Its certificate is for a server of another name.',
  ERR_SSL_WRONG_VERSION_NUMBER: 'It does not speak TLS there: is it the right port?',
  ERR_SSL_PACKET_LENGTH_TOO_LONG: 'It does not speak TLS there: is it the right port?',
};

/** Codes of an error and of what caused it: libraries wrap what the system says. */
function codesOf(error: unknown): readonly string[] {
  const codes: string[] = [];
  for (let one = error, depth = 0; depth < 4 && one instanceof Error; depth++) {
    const { code, cause } = Object(one);
    if (typeof code === 'string') codes.push(code);
    one = cause;
  }
  return codes;
}

/** The reason by its code, or null for one that has no sentence here. */
export function reasonOf(error: unknown): string | null {
  const codes = codesOf(error);
  const text = error instanceof Error ? error.message : '';
  const known = codes.map((code) => REASONS[code]).find((why) => why !== undefined);
  if (known !== undefined) return known;
  // Where a library hides the code, the system's words have it.
  const said = Object.keys(REASONS).find((code) => text.includes(code));
  if (said !== undefined) return REASONS[said] ?? null;
  if (/certificate has expired/i.test(text)) return REASONS.CERT_HAS_EXPIRED ?? null;
  return /self.signed certificate|unable to verify/i.test(text)
    ? (REASONS.DEPTH_ZERO_SELF_SIGNED_CERT ?? null)
    : null;
}

/** What a server said, without control characters and not too much of it. */
export const quoted = (text: string, most: number): string =>
  text
    .replace(/[^\x20-\x7e\u00a0-\uffff]+/g, ' ')
    .trim()
    .slice(0, most);
