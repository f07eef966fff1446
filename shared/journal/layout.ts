/**
 * Where each field of each kind of journal entry lies in its 32 bytes. The one table that packing,
 * unpacking and the specification go by.
 *
 * ```
 *  0  u32  sequence          8  u32   uptime, 100 ms
 *  4  u16  boot             12  16 B  payload
 *  6  u8   kind number      28  u32   CRC-32 of bytes 0..27
 *  7  u8   small field of the kind (0 where it has none)
 * ```
 *
 * A kind may gain a field in bytes it does not use yet (they are written as 0); a field never moves.
 */

import { ALARM_CHANGES, ALARM_NAMES } from '../alarms/catalogue';
import { CALIBRATION_TARGETS, type CalibrationTarget } from '../board/calibration-targets';
import { PROBE_NAMES, PROBES, probeFields } from '../board/probes';
import { F32, F64, I16, I32, type NumberPlace, type NumberType, U8, U16, U32 } from '../bytes';
import { MARKS } from '../profile/profile';
import type { CalibratedFields, JournalBody, JournalKind } from './kinds';
import { DOSE_REASONS, DOSE_VERDICTS, PROFILE_ACTIONS, STAGE_REASONS } from './kinds';
import { NOTE_PIECE_BYTES } from './notes';

/** Length of every entry. */
export const ENTRY_BYTES = 32;

/** Offsets of the head's fields. */
export const HEAD = { sequence: 0, boot: 4, kind: 6, uptime: 8 } as const;
/** The small field, shared by most kinds for their stage. */
const SMALL_AT = 7;
export const CRC_AT = 28;
export const UPTIME_STEP_MS = 100;

export interface NumberField extends NumberPlace {
  readonly words?: undefined;
  readonly bytes?: undefined;
}
/** A yes or no: the byte 1 or 0. */
export interface FlagField {
  readonly at: number;
  readonly type?: undefined;
  readonly words?: undefined;
  readonly bytes?: undefined;
}
/** A word, by its place in an append-only list. */
export interface WordField<Word extends string = string> {
  readonly at: number;
  readonly words: readonly Word[];
  readonly type?: undefined;
  readonly bytes?: undefined;
}
/** Text in UTF-8 of at most so many bytes, filled up with 0. */
export interface TextField {
  readonly at: number;
  readonly bytes: number;
  readonly type?: undefined;
  readonly words?: undefined;
}
export type EntryField = NumberField | FlagField | WordField | TextField;

type FieldOf<Value> = [Value] extends [number]
  ? NumberField
  : [Value] extends [boolean]
    ? FlagField
    : [string] extends [Value]
      ? TextField
      : [Value] extends [string]
        ? WordField<Value>
        : never;
type FieldsOf<Body> = { readonly [Name in Exclude<keyof Body, 'kind'>]: FieldOf<Body[Name]> };
type CalibratedLayout = {
  readonly [Target in CalibrationTarget]: FieldsOf<CalibratedFields[Target]>;
};
type Layout = {
  readonly [Kind in JournalKind]: FieldsOf<Extract<JournalBody, { readonly kind: Kind }>>;
};

const number = (at: number, type: NumberType, scale = 1): NumberField => ({ at, type, scale });
const u8 = (at: number): NumberField => number(at, U8);
const u32 = (at: number): NumberField => number(at, U32);
const f32 = (at: number): NumberField => number(at, F32);
/** 0.01 C, -327.67 to 327.67 C. */
const celsius = (at: number): NumberField => number(at, I16, 100);
/** 0.1 g, to 214 t: far beyond any tray, so that a wild span is still told as it was. */
const grams = (at: number): NumberField => number(at, I32, 10);
/** 0.0001, -3.2767 to 3.2767: a dry-back is below 0 while a tray drains past its capacity mark. */
const share = (at: number): NumberField => number(at, I16, 10_000);
const flag = (at: number): FlagField => ({ at });
const word = <const Word extends string>(at: number, words: readonly Word[]): WordField<Word> => ({
  at,
  words,
});

const READING = {
  stage: u8(SMALL_AT),
  ...probeFields('celsius', (name) => PROBES[name].reading),
  trayG: grams(16),
  dryBackShare: share(20),
  matDutyShare: share(22),
  /** 0.02 g, to 1310 g: noise is well below 1 g, more than a kilogram is a person's hand. */
  spreadG: number(24, U16, 50),
  outputs: u8(26),
};

/** Every kind, in the order of its number (from 1): append only. */
export const LAYOUT: Layout = {
  boot: {
    cause: u8(SMALL_AT),
    detail: u32(12),
    firmware: u32(16),
    profileId: u32(20),
    faultRestarts: u8(24),
  },
  clock: { unixMs: number(12, F64), outageS: u32(20) },
  reading: READING,
  trace: READING,
  stage: {
    from: u8(SMALL_AT),
    to: u8(12),
    reason: word(13, STAGE_REASONS),
    ranS: u32(16),
    waterMl: f32(20),
  },
  mark: {
    stage: u8(SMALL_AT),
    mark: word(12, MARKS),
    rootZoneC: celsius(14),
    trayG: grams(16),
    pieces: u32(20),
  },
  dose: {
    stage: u8(SMALL_AT),
    reason: word(12, DOSE_REASONS),
    verdict: word(13, DOSE_VERDICTS),
    /** 0.1 ml, to 6.5 l: the largest dose a profile may ask for is below 1 l. */
    plannedMl: number(14, U16, 10),
    ranMs: u32(16),
    beforeG: grams(20),
    gainedG: grams(24),
  },
  alarm: {
    stage: u8(SMALL_AT),
    alarm: word(12, ALARM_NAMES),
    change: word(13, ALARM_CHANGES),
    value: f32(16),
    limit: f32(20),
    forS: u32(24),
  },
  handling: { over: flag(SMALL_AT), beforeG: grams(12), afterG: grams(16) },
  capacity: { dryWeighed: flag(SMALL_AT), capacityG: grams(12), dryG: grams(16) },
  /** And what `CALIBRATED` has for the target. */
  calibration: { target: word(SMALL_AT, CALIBRATION_TARGETS), restored: flag(24) },
  profile: {
    action: word(SMALL_AT, PROFILE_ACTIONS),
    slot: u8(12),
    stageBefore: u8(13),
    stageAfter: u8(14),
    profileId: u32(16),
  },
  /** Doubles: a fault may need to tell any number. */
  fault: { code: number(12, F64), detail: number(20, F64) },
  refill: { volumeMl: f32(12), feedEc: f32(16) },
  count: { stage: u8(SMALL_AT), standing: u32(12), of: u32(16) },
  note: { more: u8(SMALL_AT), text: { at: 12, bytes: NOTE_PIECE_BYTES } },
  'boot-drive': {},
  curve: {
    probe: word(SMALL_AT, PROBE_NAMES),
    at0Ohm: f32(12),
    at25Ohm: f32(16),
    at50Ohm: f32(20),
  },
};

const SCALE = { zeroCode: f32(12), countsPerG: f32(16), uncertaintyG: f32(20) };
const PROBE = { offsetK: f32(12) };

/** The further fields of a calibration, by its target. */
export const CALIBRATED: CalibratedLayout = {
  scale: SCALE,
  'scale-zero': SCALE,
  ...probeFields('target', () => PROBE),
  pump: { mlPerS: f32(12), cvPercent: f32(16), previousMlPerS: f32(20) },
};
