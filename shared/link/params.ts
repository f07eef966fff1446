/**
 * What each method may be asked: its fields with their ranges. The compiler sees to it that no method
 * and no field is forgotten. Ranges keep nonsense away from the handlers; what a value means for the
 * tray, the handlers judge.
 */
import { ALARM_NAMES } from '../alarms/catalogue';
import { FLASH_MAP, LIMITER, SCALE_CODE_MAX, SCALE_CODE_MIN } from '../board/map';
import { PROBE_NAMES } from '../board/probes';
import { NOTE_MAX_BYTES } from '../journal/notes';
import { PROFILE_LIMITS } from '../profile/limits';
import { MARKS } from '../profile/profile';
import { base64, type Check, number, oneOf, optional, orNull, truth, whole } from './fields';
import { BY_HAND_MAX_MS, LINK_LIMITS, type MethodName, type Params } from './methods';

type Fields<P> = { readonly [K in keyof P]-?: Check<P[K]> };

const UINT32_MAX = 0xffff_ffff;
/** 0 would be what an unset variable holds, so it is no token. */
const token = whole(1, UINT32_MAX);
/** 2020 to 2100: outside, the laptop's own clock is wrong. */
const CLOCK_MIN_MS = 1_577_836_800_000;
const CLOCK_MAX_MS = 4_102_444_800_000;
/** When something was calibrated; 0 where the clock was unknown. */
const whenMs = whole(0, CLOCK_MAX_MS);
const scaleCode = number(SCALE_CODE_MIN, SCALE_CODE_MAX);
/** Heavier than any tray that one load cell carries. */
const MASS_MAX_G = 100_000;
/** Ten minutes at 10 codes a second. */
const SAMPLES_MAX = 6_000;
/** A probe that is further off is broken, not out of adjustment. */
const PROBE_OFFSET_MAX_K = 10;
const probeChannel = whole(0, PROBE_NAMES.length - 1);
/** No NTC that the board could read has more at 0 C. */
const ohm = number(0, 10_000_000);
/** More seeds are on no tray, nor in a test. */
export const SEEDS_MAX = 100_000;
const PUMP_ML_PER_S_MAX = 100;
/** A week; how long the board really lets an alarm rest is less (`GUARD_LIMITS`). */
const SHELVE_MAX_S = 7 * 86_400;
const HISTORY_MAX = 16;
const slot = whole(0, 1);
const imageOffset = whole(0, FLASH_MAP.profileA.bytes - 1);
const alarm = oneOf(ALARM_NAMES);

/** Every method of the link. */
export const METHOD_FIELDS: { readonly [M in MethodName]: Fields<Params<M>> } = {
  'controller.hello': {},
  'controller.bootDrive': { token: token },
  'status.read': {},
  'clock.set': { token: token, unixMs: whole(CLOCK_MIN_MS, CLOCK_MAX_MS) },

  'scale.read': {},
  'scale.measure': { token: token, samples: whole(1, SAMPLES_MAX) },
  'scale.measured': {},
  'scale.calibrate': {
    token: token,
    zeroCode: scaleCode,
    countsPerG: number(-SCALE_CODE_MAX, SCALE_CODE_MAX),
    massG: number(0, MASS_MAX_G),
    cellG: number(0, MASS_MAX_G),
    uncertaintyG: number(0, MASS_MAX_G),
    zeroCodePerK: scaleCode,
    atC: number(-40, 125),
    unixMs: whenMs,
  },
  'scale.zero': { token: token, zeroCode: scaleCode },
  'scale.history': {},
  'scale.restore': { token: token, index: whole(0, HISTORY_MAX - 1) },

  'probe.read': {},
  'probe.calibrate': {
    token: token,
    channel: probeChannel,
    offsetK: number(-PROBE_OFFSET_MAX_K, PROBE_OFFSET_MAX_K),
  },
  'probe.curve': {
    token: token,
    channel: probeChannel,
    at0Ohm: optional(ohm),
    at25Ohm: optional(ohm),
    at50Ohm: optional(ohm),
  },

  'pump.run': {
    token: token,
    ms: whole(1, LIMITER.pumpMaxMsPerHour),
    reason: oneOf(['prime', 'calibrate']),
  },
  'pump.state': {},
  'pump.stop': { token: token },
  'pump.calibrate': {
    token: token,
    mlPerS: number(0, PUMP_ML_PER_S_MAX),
    cvPercent: number(0, 100),
  },

  'mat.run': { token: token, ms: whole(0, BY_HAND_MAX_MS.mat) },
  'sounder.run': { token: token, ms: whole(1, BY_HAND_MAX_MS.sounder) },

  'mark.set': {
    token: token,
    mark: oneOf(MARKS),
    trayG: optional(number(0, MASS_MAX_G)),
    volumeMl: optional(number(0, PROFILE_LIMITS.reservoirMaxMl)),
    feedEc: optional(number(0, PROFILE_LIMITS.feedEcMax)),
    pieces: optional(whole(1, PROFILE_LIMITS.piecesMax)),
  },
  'count.write': { token: token, standing: whole(0, SEEDS_MAX), of: whole(1, SEEDS_MAX) },
  'note.write': { token: token, data: base64(NOTE_MAX_BYTES) },
  'stage.next': { token: token },
  'stage.stay': { token: token, stay: truth },

  'alarm.list': {},
  'alarm.accept': { token: token, alarm: alarm },
  'alarm.clear': { token: token, alarm: alarm },
  'alarm.shelve': { token: token, alarm: alarm, forS: whole(1, SHELVE_MAX_S) },

  'profile.slots': {},
  'profile.begin': {
    token: token,
    bytes: whole(1, FLASH_MAP.profileA.bytes),
    crc: whole(0, UINT32_MAX),
  },
  'profile.chunk': {
    offset: imageOffset,
    data: base64(LINK_LIMITS.profileChunkBytes),
  },
  'profile.commit': {
    token: token,
    id: whole(0, UINT32_MAX),
    stage: orNull(whole(0, PROFILE_LIMITS.stagesMax - 1)),
  },
  'profile.read': { slot: slot, offset: imageOffset },

  'journal.info': {},
  'journal.page': { from: whole(0, UINT32_MAX), count: whole(1, LINK_LIMITS.pageEntries) },
};

/** Whether a call of `method` carries a token, so that repeating it cannot do it twice. */
export const takesToken = (method: MethodName): boolean =>
  Object.hasOwn(METHOD_FIELDS[method], 'token');

/** Whether a call of `method` changes something, and so is done only when its line carries a CRC. */
export const changes = (method: MethodName): boolean =>
  // A chunk goes by its place: repeating it needs no token.
  takesToken(method) || method === 'profile.chunk';
