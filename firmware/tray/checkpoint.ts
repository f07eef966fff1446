/**
 * The run state as it survives a power cut: one settings value, written at each change and every
 * few minutes. Fixed layout, little-endian; a value of another size or version is not taken.
 */
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { readF64, readU16, readU32, writeF64, writeU16, writeU32 } from '../../shared/bytes';
import { NO_STAGE } from '../../shared/journal/kinds';
import { WATER_LIMITS } from '../limits';
import { sumDay, type WaterAccount } from './water-account';

/** The run state: what a restart must know. Changed in place by the tick; one object a boot. */
export interface RunState extends WaterAccount {
  /** Slot and identifier of the profile that runs, 0 when none: one record, so both switch at once. */
  slot: number;
  profileId: number;
  /** Index of the running stage, `NO_STAGE` before sowing. */
  stage: number;
  staying: boolean;
  stageRunMs: number;
  /** Run time of the controller since it was first switched on, ms. */
  totalRunMs: number;
  /**
   * Time of day at the checkpoint, Unix ms; 0 while unknown. Behind by the outages before it as long
   * as no clock has told how long they were.
   */
  unixMs: number;
  capacityG: number;
  dryG: number;
  dryWeighed: boolean;
  shiftG: number;
  settledG: number;
  /** A dose was charged and not yet ended: its ml, 0 when none. */
  pendingMl: number;
  rescued: boolean;
  /** Doses in a row that nobody could weigh, fewer than `WATER_LIMITS.unprovedMax`. */
  unproved: number;
  transplantHoldMs: number;
  sinceSoakedMs: number;
  /** Total run time at the last restarts by fault, ms, newest first; NaN when none. */
  readonly faultRestarts: Float64Array;
  readonly alarmStates: Uint8Array;
}

/** The plain numbers as they are at first, in the order they are stored. */
const NUMBERS_AT_FIRST = {
  stageRunMs: 0,
  totalRunMs: 0,
  unixMs: 0,
  capacityG: Number.NaN,
  dryG: Number.NaN,
  shiftG: 0,
  settledG: Number.NaN,
  pendingMl: 0,
  transplantHoldMs: 0,
  sinceSoakedMs: Number.POSITIVE_INFINITY,
  stageMl: 0,
  usedMl: 0,
  pumpRunMs: 0,
  hourMs: 0,
} satisfies Partial<RunState>;
const NUMBER_FIELDS = Object.keys(NUMBERS_AT_FIRST) as readonly (keyof typeof NUMBERS_AT_FIRST)[];

const VERSION = 1;
const FAULTS_KEPT = 3;
/** Room for alarms added later, so that an older checkpoint stays readable. */
const ALARM_BYTES = 48;
const HOURS_AT = 8 + NUMBER_FIELDS.length * 8;
const FAULTS_AT = HOURS_AT + WATER_LIMITS.dayHours * 2;
const ALARMS_AT = FAULTS_AT + FAULTS_KEPT * 8;
/** Length of a packed checkpoint. */
export const CHECKPOINT_BYTES = ALARMS_AT + ALARM_BYTES;

/** The run state of a board that has never run: nothing sown, nothing given, no weight known. */
export function emptyRunState(): RunState {
  return {
    ...NUMBERS_AT_FIRST,
    slot: 0,
    profileId: 0,
    stage: NO_STAGE,
    staying: false,
    dryWeighed: false,
    rescued: false,
    unproved: 0,
    hour: 0,
    dayMl: 0,
    hoursMl: new Float64Array(WATER_LIMITS.dayHours),
    faultRestarts: new Float64Array(FAULTS_KEPT).fill(Number.NaN),
    alarmStates: new Uint8Array(ALARM_NAMES.length),
  };
}

/** Packs `state` into `into` (`CHECKPOINT_BYTES` long). */
export function packCheckpoint(state: RunState, into: Uint8Array): void {
  into.fill(0);
  into[0] = VERSION;
  into[1] = state.stage;
  into[2] =
    (state.staying ? 1 : 0) |
    (state.dryWeighed ? 2 : 0) |
    (state.rescued ? 4 : 0) |
    (state.slot === 1 ? 8 : 0) |
    (state.unproved << 4);
  into[3] = state.hour;
  writeU32(into, 4, state.profileId);
  NUMBER_FIELDS.forEach((field, i) => {
    writeF64(into, 8 + i * 8, state[field]);
  });
  // Rounded up: what was given is never forgotten, not even half a millilitre.
  state.hoursMl.forEach((ml, i) => {
    writeU16(into, HOURS_AT + i * 2, Math.min(0xffff, Math.ceil(ml)));
  });
  state.faultRestarts.forEach((runMs, i) => {
    writeF64(into, FAULTS_AT + i * 8, runMs);
  });
  into.set(state.alarmStates, ALARMS_AT);
}

/** Unpacks into `state`; false, with `state` untouched, when the bytes do not check out. */
export function unpackCheckpoint(bytes: Uint8Array, state: RunState): boolean {
  if (bytes.length !== CHECKPOINT_BYTES || bytes[0] !== VERSION) return false;
  const hour = bytes[3] ?? 0;
  if (hour >= WATER_LIMITS.dayHours) return false;
  const flags = bytes[2] ?? 0;
  state.stage = bytes[1] ?? NO_STAGE;
  state.staying = (flags & 1) !== 0;
  state.dryWeighed = (flags & 2) !== 0;
  state.rescued = (flags & 4) !== 0;
  state.slot = (flags & 8) !== 0 ? 1 : 0;
  state.unproved = flags >> 4;
  state.hour = hour;
  state.profileId = readU32(bytes, 4);
  NUMBER_FIELDS.forEach((field, i) => {
    state[field] = readF64(bytes, 8 + i * 8);
  });
  for (let i = 0; i < state.hoursMl.length; i++) {
    state.hoursMl[i] = readU16(bytes, HOURS_AT + i * 2);
  }
  for (let i = 0; i < FAULTS_KEPT; i++) {
    state.faultRestarts[i] = readF64(bytes, FAULTS_AT + i * 8);
  }
  sumDay(state);
  state.alarmStates.set(bytes.subarray(ALARMS_AT, ALARMS_AT + state.alarmStates.length));
  return true;
}
