/**
 * What goes between keepers and collectors: topics, and the bytes at them. A batch is one line of JSON, then the entries
 * as the board packed them, each with the CRC it had in flash. Pure.
 */
import { ENTRY_BYTES, entrySequence, isEntrySound } from '../../shared/journal/codec';
import { WIRE_LIMITS } from './limits';

/**
 * The first entry that a keeper has of a life of a journal: by its sequence number, CRC, boot and uptime a collector
 * knows that life again, whatever a store calls it.
 */
export interface LifeMark {
  readonly sequence: number;
  readonly crc: number;
  readonly boot: number;
}

export const sameMark = (a: LifeMark, b: LifeMark): boolean =>
  a.sequence === b.sequence && a.crc === b.crc;

/** Sequence numbers, both ends belong to it. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

export interface Batch {
  readonly keeper: string;
  readonly controller: string;
  /** Name of the tray in the keeper's file. */
  readonly tray: string;
  readonly mark: LifeMark;
  /** All that the keeper has of these is in it: what is not there is lost for good. Null for entries that overtake. */
  readonly whole: Span | null;
  /** When the first entry was made, as far as the keeper knows, Unix ms. */
  readonly atMs: number | null;
  /** Packed entries. */
  readonly bytes: Uint8Array;
}

/** How far the journals of a keeper go. */
export interface End {
  readonly controller: string;
  readonly tray: string;
  readonly mark: LifeMark;
  readonly to: number;
}

/** "Send again": entries of a life, and nothing else can be asked for. */
export interface Asked extends Span {
  readonly controller: string;
  readonly mark: LifeMark;
}

/** `entries` come in their order; `alarms` overtake them; `ends` are retained; at `ask` a keeper is asked. */
export type Channel = 'entries' | 'alarms' | 'ends' | 'ask' | 'profiles';

const CONTROLLER = /^[0-9a-f]{1,32}$/;
const KEEPER = /^[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?$/;

export const topicOf = (
  base: string,
  channel: Channel,
  keeper: string,
  controller: string | null = null,
): string => `${base}/${channel}/${keeper}${controller === null ? '' : `/${controller}`}`;

export interface Place {
  readonly channel: string;
  readonly keeper: string;
  readonly controller: string;
}

/** What a topic says; null for one that is none of ours. */
export function placeOf(base: string, topic: string): Place | null {
  if (!topic.startsWith(`${base}/`)) return null;
  const [channel = '', keeper = '', controller = '', ...more] = topic
    .slice(base.length + 1)
    .split('/');
  if (more.length > 0 || !KEEPER.test(keeper)) return null;
  if (controller !== '' && !CONTROLLER.test(controller)) return null;
  return { channel, keeper, controller };
}

const NEW_LINE = 0x0a;
const U32_MOST = 0xffff_ffff;

export function encodeBatch({ tray, mark, whole, atMs, bytes }: Batch): Buffer {
  const head = { v: 1, tray, mark: markList(mark), whole: whole && [whole.from, whole.to], atMs };
  return Buffer.concat([Buffer.from(`${JSON.stringify(head)}\n`), bytes]);
}

const markList = ({ sequence, crc, boot }: LifeMark): readonly number[] => [sequence, crc, boot];

/** A batch as it arrives; null for what is none: nothing of that is stored. */
export function decodeBatch({ keeper, controller }: Place, payload: Uint8Array): Batch | null {
  const end = payload.subarray(0, WIRE_LIMITS.headBytes).indexOf(NEW_LINE);
  if (end < 0 || controller === '' || payload.length > WIRE_LIMITS.messageBytes) return null;
  const head = parsed(payload.subarray(0, end));
  const { v, tray, atMs } = Object(head);
  const mark = markOf(Object(head).mark);
  const whole = spanOf(Object(head).whole);
  const bytes = payload.subarray(end + 1);
  if (v !== 1 || mark === null || whole === undefined || !isName(tray)) return null;
  if (!areSound(bytes, whole)) return null;
  return { keeper, controller, tray, mark, whole, atMs: timeOrNull(atMs), bytes };
}

function areSound(bytes: Uint8Array, whole: Span | null): boolean {
  if (bytes.length % ENTRY_BYTES !== 0) return false;
  for (let at = 0; at < bytes.length; at += ENTRY_BYTES) {
    if (!isEntrySound(bytes, at)) return false;
    const sequence = entrySequence(bytes, at);
    if (whole !== null && (sequence < whole.from || sequence > whole.to)) return false;
  }
  return true;
}

export const encodeEnds = (ends: readonly End[]): string =>
  JSON.stringify({
    v: 1,
    ends: ends.map(({ controller, tray, mark, to }) => ({
      ...{ controller, tray, mark: markList(mark), to },
    })),
  });

/** The ends that a message tells; null for none of ours. */
export function decodeEnds(payload: Uint8Array): readonly End[] | null {
  const { v, ends } = Object(payload.length > WIRE_LIMITS.messageBytes ? null : parsed(payload));
  if (v !== 1 || !Array.isArray(ends) || ends.length > WIRE_LIMITS.endsMost) return null;
  const read = ends.map((one): End | null => {
    const { controller, tray, to } = Object(one);
    const mark = markOf(Object(one).mark);
    if (!isController(controller) || !isName(tray) || mark === null || !isCount(to)) return null;
    return { controller, tray, mark, to };
  });
  const known = read.flatMap((one) => one ?? []);
  return known.length === read.length ? known : null;
}

export const encodeAsked = ({ controller, mark, from, to }: Asked): string =>
  JSON.stringify({ v: 1, controller, mark: markList(mark), from, to });

/** A question as it arrives at a keeper; null for anything else. */
export function decodeAsked(payload: Uint8Array): Asked | null {
  const { v, controller, mark, from, to } = Object(
    payload.length > WIRE_LIMITS.headBytes ? null : parsed(payload),
  );
  const life = markOf(mark);
  const span = spanOf([from, to]);
  if (v !== 1 || !isController(controller) || life === null || span == null) return null;
  return { controller, mark: life, ...span };
}

const utf8 = new TextDecoder('utf-8', { fatal: true });

function parsed(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(utf8.decode(bytes));
  } catch {
    return null;
  }
}

const isCount = (value: unknown): value is number =>
  Number.isInteger(value) && Number(value) >= 0 && Number(value) <= U32_MOST;
const isController = (value: unknown): value is string =>
  typeof value === 'string' && CONTROLLER.test(value);
/** A name for a screen and a table: no control characters, which a database may not even be able to hold. */
const isName = (value: unknown): value is string =>
  typeof value === 'string' &&
  value.length <= WIRE_LIMITS.nameChars &&
  !/[\p{Cc}\p{Cs}]/u.test(value);

/** A name as it is sent. */
export const nameOnWire = (name: string): string =>
  name.slice(0, WIRE_LIMITS.nameChars).replace(/[\p{Cc}\p{Cs}]/gu, ' ');

const LATEST_MS = 8.64e15;
const timeOrNull = (value: unknown): number | null =>
  typeof value === 'number' && Math.abs(value) <= LATEST_MS ? value : null;

function markOf(value: unknown): LifeMark | null {
  if (!Array.isArray(value) || value.length !== 3 || !value.every(isCount)) return null;
  const [sequence = 0, crc = 0, boot = 0] = value.map(Number);
  return { sequence, crc, boot };
}

/** Null where it is said that there is none, undefined for what is no span. */
function spanOf(value: unknown): Span | null | undefined {
  if (value === null) return null;
  if (!Array.isArray(value) || value.length !== 2 || !value.every(isCount)) return undefined;
  const [from = 0, to = 0] = value.map(Number);
  return from <= to ? { from, to } : undefined;
}
