/** A word that opens a door: it comes from a file or the environment, and nothing prints it. */
import { readFileSync, statSync } from 'node:fs';
import { isAbsolute, join } from 'node:path';
import { inspect } from 'node:util';
import { FILE_LIMITS } from '../limits';

/** Where a secret is found. */
export type SecretPlace =
  | { readonly from: 'file'; readonly path: string }
  | { readonly from: 'env'; readonly name: string };

const HIDDEN = '(hidden)';

/** Printed, quoted or written as JSON it is `(hidden)`. */
export class Secret {
  readonly #value: string;

  constructor(value: string) {
    this.#value = value;
  }

  /** The word itself, for the door alone. */
  reveal(): string {
    return this.#value;
  }

  toString(): string {
    return HIDDEN;
  }

  toJSON(): string {
    return HIDDEN;
  }

  [inspect.custom](): string {
    return HIDDEN;
  }
}

export type SecretRead =
  | { readonly ok: true; readonly secret: Secret }
  | { readonly ok: false; readonly why: string };

type Env = Readonly<Record<string, string | undefined>>;

const no = (why: string): SecretRead => ({ ok: false, why });

/** Reads a secret; a file is looked for beside the keeper's own, in `folder`. Says why it cannot be used. */
export function readSecret(place: SecretPlace, folder: string, env: Env): SecretRead {
  if (place.from === 'env') {
    const value = env[place.name] ?? '';
    return value === ''
      ? no(
          `The environment has no ${place.name}, or it is empty. Set it where the keeper is started.`,
        )
      : { ok: true, secret: new Secret(value) };
  }
  const path = isAbsolute(place.path) ? place.path : join(folder, place.path);
  try {
    const found = statSync(path);
    const why = whyNotSafe(path, found);
    if (why !== null) return no(why);
    const value = readFileSync(path, 'utf8').replace(/\r?\n$/, '');
    return value.trim() === '' ? no(`${path} is empty.`) : { ok: true, secret: new Secret(value) };
  } catch (error) {
    const { code } = Object(error);
    return no(
      code === 'EACCES' ? `You may not read ${path}.` : `There is no file ${path} (${code}).`,
    );
  }
}

interface Found {
  readonly mode: number;
  readonly uid: number;
  readonly size: number;
  isFile(): boolean;
}

/** Permissions that let the group or anybody else in. */
const OTHERS = 0o077;

/** Why a file may not hold a secret; null where it may. Windows has no such permissions to look at. */
function whyNotSafe(path: string, found: Found): string | null {
  if (!found.isFile()) return `${path} is no file.`;
  if (found.size > FILE_LIMITS.secretBytes) return `${path} is too large for a secret.`;
  const me = process.getuid?.();
  if (me === undefined) return null;
  if (found.uid !== me && found.uid !== 0) {
    return `${path} belongs to another user, who can read it. Make a file of your own.`;
  }
  if ((found.mode & OTHERS) === 0) return null;
  const mode = (found.mode & 0o777).toString(8);
  return `Others can read ${path} (its mode is ${mode}). Do \`chmod 600 ${path}\`; if others have used this computer, choose a new secret.`;
}

/** Texts in which a secret may come back from a server that quotes what it was sent. */
function formsOf(value: string): readonly string[] {
  const bytes = Buffer.from(value);
  const base64 = bytes.toString('base64');
  return [
    value,
    encodeURIComponent(value),
    base64,
    base64.replace(/=+$/, ''),
    bytes.toString('base64url'),
    bytes.toString('hex'),
  ];
}

/** Takes every trace of `secrets` out of a text, longest first. */
export function hiding(secrets: readonly string[]): (text: string) => string {
  const forms = [...new Set(secrets.filter((one) => one !== '').flatMap(formsOf))].sort(
    (a, b) => b.length - a.length,
  );
  return (text) => forms.reduce((shown, form) => shown.replaceAll(form, '***'), text);
}

/** A part of an address that is shorter is a word, and no token. */
const TOKEN_LEAST_CHARS = 8;

/** An address that is a secret, and what of it a server may quote alone: its token. */
export function partsOfAddress(address: string): readonly string[] {
  try {
    const { pathname, searchParams, username, password } = new URL(address);
    const parts = [...pathname.split('/'), ...searchParams.values(), username, password];
    return [address, ...parts.filter((part) => part.length >= TOKEN_LEAST_CHARS)];
  } catch {
    return [address];
  }
}
