/**
 * What a restart must know of the alarms that stand, beside their codes in the checkpoint: since when, until when, and
 * what was measured. A settings value of its own, written when it changes: alarms are rare, checkpoints are not.
 *
 * Times are kept as run time of the controller, which a checkpoint knows too, so that they need no writing while
 * they grow old. A byte for the version, one for the length of an entry, then an entry an alarm; an entry only grows
 * at its end.
 */
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { readF32, readI32, writeF32, writeI32 } from '../../shared/bytes';
import type { AlarmMemory } from '../guard/alarm-bank';
import { VALUE_BYTES_MAX } from '../storage/settings-record';

const VERSION = 1;
const HEAD_BYTES = 2;
const ENTRY = {
  alarm: 0,
  flags: 1,
  raisedS: 2,
  endedS: 6,
  value: 10,
  limit: 14,
  bytes: 18,
} as const;
const FLAG = { ended: 1, untoldForGood: 2 } as const;
/** More alarms than one value has room for stand never; those with the lowest numbers would be kept. */
const KEPT_MAX = Math.floor((VALUE_BYTES_MAX - HEAD_BYTES) / ENTRY.bytes);

/** Packs `memories`, whose times count from `zeroMs` of run time, ms. */
export function packAlarms(memories: readonly AlarmMemory[], zeroMs: number): Uint8Array {
  const kept = memories.slice(0, KEPT_MAX);
  const bytes = new Uint8Array(HEAD_BYTES + kept.length * ENTRY.bytes);
  bytes[0] = VERSION;
  bytes[1] = ENTRY.bytes;
  const runS = (ms: number): number => Math.round((zeroMs + ms) / 1000);
  kept.forEach(({ name, raisedMs, endedMs, untoldForGood, value, limit }, i) => {
    const at = HEAD_BYTES + i * ENTRY.bytes;
    const ended = !Number.isNaN(endedMs);
    bytes[at + ENTRY.alarm] = ALARM_NAMES.indexOf(name);
    bytes[at + ENTRY.flags] = (ended ? FLAG.ended : 0) | (untoldForGood ? FLAG.untoldForGood : 0);
    writeI32(bytes, at + ENTRY.raisedS, runS(raisedMs));
    writeI32(bytes, at + ENTRY.endedS, ended ? runS(endedMs) : 0);
    writeF32(bytes, at + ENTRY.value, value);
    writeF32(bytes, at + ENTRY.limit, limit);
  });
  return bytes;
}

/** The memories in `bytes`, their times counted from `zeroMs` of run time; none of a version that is not known. */
export function unpackAlarms(bytes: Uint8Array, zeroMs: number): readonly AlarmMemory[] {
  const entryBytes = bytes[1] ?? 0;
  if (bytes[0] !== VERSION || entryBytes < ENTRY.bytes) return [];
  const memories: AlarmMemory[] = [];
  for (let at = HEAD_BYTES; at + entryBytes <= bytes.length; at += entryBytes) {
    const name = ALARM_NAMES[bytes[at + ENTRY.alarm] ?? 0];
    // An alarm of a newer firmware.
    if (name === undefined) continue;
    const flags = bytes[at + ENTRY.flags] ?? 0;
    const sinceMs = (place: number): number => readI32(bytes, at + place) * 1000 - zeroMs;
    memories.push({
      name,
      raisedMs: sinceMs(ENTRY.raisedS),
      endedMs: (flags & FLAG.ended) !== 0 ? sinceMs(ENTRY.endedS) : Number.NaN,
      untoldForGood: (flags & FLAG.untoldForGood) !== 0,
      value: readF32(bytes, at + ENTRY.value),
      limit: readF32(bytes, at + ENTRY.limit),
    });
  }
  return memories;
}
