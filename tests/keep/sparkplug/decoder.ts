/** Payloads read and written by Google's `protoc` over the specification's schema: a codec that is not ours. */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const FOLDER = fileURLToPath(new URL('../../../cli/keep/open/sparkplug', import.meta.url));
const TYPE = 'org.eclipse.tahu.protobuf.Payload';

function protoc(direction: '--decode' | '--encode', input: Uint8Array | string): Buffer {
  const args = [`${direction}=${TYPE}`, `--proto_path=${FOLDER}`, 'sparkplug_b.proto'];
  const { status, stdout, stderr } = spawnSync('protoc', args, { input });
  if (status !== 0) throw new Error(`protoc: ${stderr}`);
  return stdout;
}

/** A message in protobuf's text format. */
export const written = (text: string): Buffer => protoc('--encode', text);

export interface Message {
  readonly [field: string]: readonly (string | Message)[];
}

/** Text in quotes, with bytes as `\303\204`. */
const unquoted = (text: string): string =>
  Buffer.from(
    text
      .slice(1, -1)
      .replace(/\\([0-7]{3})/g, (_, octal: string) =>
        String.fromCharCode(Number.parseInt(octal, 8)),
      )
      .replace(/\\(["'\\])/g, '$1'),
    'latin1',
  ).toString();

function messageOf(lines: string[]): Message {
  const fields: Record<string, (string | Message)[]> = {};
  const add = (name: string, value: string | Message): void => {
    fields[name] = [...(fields[name] ?? []), value];
  };
  for (let line = lines.shift(); line !== undefined; line = lines.shift()) {
    const text = line.trim();
    if (text === '}') break;
    const [name = ''] = text.split(/[ :]/);
    if (text.endsWith('{')) add(name, messageOf(lines));
    else {
      const value = text.slice(name.length + 2);
      add(name, value.startsWith('"') ? unquoted(value) : value);
    }
  }
  return fields;
}

/** Whoever waits for a message reads all that were heard, again and again. */
const known = new WeakMap<Uint8Array, Message>();

/** A payload, its fields named as in the schema. Throws for bytes that are none. */
export function read(bytes: Uint8Array): Message {
  const message = known.get(bytes) ?? decoded(bytes);
  known.set(bytes, message);
  return message;
}

const decoded = (bytes: Uint8Array): Message =>
  messageOf(protoc('--decode', bytes).toString().trimEnd().split('\n'));

/** A field that stands once, as text; null where it is not there. */
export function field(message: Message | undefined, name: string): string | null {
  const [value] = message?.[name] ?? [];
  return typeof value === 'string' ? value : null;
}

/** Messages in a field. */
export const inner = (message: Message | undefined, name: string): readonly Message[] =>
  (message?.[name] ?? []).filter((one): one is Message => typeof one !== 'string');

export const metricsOf = (message: Message): readonly Message[] => inner(message, 'metrics');

export const metric = (message: Message | undefined, name: string): Message | undefined =>
  inner(message, 'metrics').find((one) => field(one, 'name') === name);
