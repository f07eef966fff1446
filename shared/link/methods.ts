/**
 * The link's methods, typed once for both ends: parameters in, result out. JSON-RPC 2.0, one line a
 * message (see `framing.ts`). A method that changes something takes a `token`, so that a request
 * whose reply was lost can be repeated without happening twice.
 */
import type { AlarmName } from '../alarms/catalogue';
import type { ProbeFields } from '../board/probes';
import type { ProbeCurve } from '../physics/probe-curve';
import type { Mark } from '../profile/profile';
import type { AlarmReport, ProbeState, ScaleState, Status } from './status';

/** Raised when a method or a field changes its meaning. */
export const LINK_VERSION = 1;

/** Longest that outputs are tried by hand, ms. Who tries the mat asks again in time: without a cable it is soon off. */
export const BY_HAND_MAX_MS = { mat: 20_000, sounder: 5_000 } as const;

/** A number the host picks at random; the board remembers the replies to its last few. */
export interface Token {
  readonly token: number;
}

export interface Hello {
  readonly product: string;
  readonly link: number;
  /** `major.minor.patch` */
  readonly firmware: string;
  readonly boardId: string;
  readonly boot: number;
  readonly uptimeMs: number;
  /** Time of day, Unix ms, or null while unknown. */
  readonly unixMs: number | null;
}

export interface ScaleReading {
  readonly state: ScaleState;
  readonly code: number | null;
  readonly trayG: number | null;
  readonly stable: boolean;
  readonly spreadG: number | null;
  readonly uptimeMs: number;
}

/** Mean of the raw codes taken since `scale.measure`; done when there are as many as wanted. */
export interface ScaleMeasurement {
  readonly done: boolean;
  readonly samples: number;
  readonly wanted: number;
  readonly meanCode: number;
  /** Standard deviation of single codes. */
  readonly sdCode: number;
  /** Mean of the second half minus mean of the first: drift during the measurement, codes. */
  readonly driftCode: number;
  readonly saturated: boolean;
  readonly silent: boolean;
  readonly rootZoneC: number | null;
}

export interface ScaleCalibration {
  readonly zeroCode: number;
  readonly countsPerG: number;
  /** Mass of the known weight, g. */
  readonly massG: number;
  /** Rated capacity of the cell, g. */
  readonly cellG: number;
  /** Standard uncertainty at the working weight, g. */
  readonly uncertaintyG: number;
  /** Change of the zero per kelvin, codes; 0 when not calibrated. */
  readonly zeroCodePerK: number;
  /** Root-zone temperature at calibration, C. */
  readonly atC: number;
  /** When, Unix ms; 0 when the clock was unknown. */
  readonly unixMs: number;
}

export interface PumpCalibration {
  readonly mlPerS: number;
  readonly cvPercent: number;
  readonly unixMs: number;
}

export interface ProbeCalibration {
  /** Added to the reading, K. */
  readonly offsetK: number;
  readonly unixMs: number;
}

/**
 * By which curve a probe is read: the reference probe's, or what was told of it. `lost`: something was told and cannot be
 * read any more, so that it has no temperature and the mat stays off.
 */
export type CurveInForce = 'reference' | 'lost' | ProbeCurve;

/** What every probe reads. The raw code is null until the first reading of a start. */
export type ProbesRead = ProbeFields<'celsius', number | null> &
  ProbeFields<'code', number | null> &
  ProbeFields<'state', ProbeState> &
  ProbeFields<'calibration', ProbeCalibration | null> &
  ProbeFields<'curve', CurveInForce>;

export interface ProfileSlotInfo {
  readonly slot: number;
  readonly active: boolean;
  readonly id: number | null;
  readonly bytes: number;
}

/** Every method: `params` the host sends, `result` the board gives. */
export interface Methods {
  'controller.hello': { params: Record<string, never>; result: Hello };
  /**
   * Outputs off, the run state written down, and within two seconds the boot drive in place of the firmware, for another
   * image. Over USB alone; refused while a dose is under way.
   */
  'controller.bootDrive': { params: Token; result: { uptimeMs: number } };
  'status.read': { params: Record<string, never>; result: Status };
  'clock.set': { params: Token & { unixMs: number }; result: { outageS: number } };

  'scale.read': { params: Record<string, never>; result: ScaleReading };
  /** Starts a measurement of `samples` codes; poll `scale.measured`. */
  'scale.measure': { params: Token & { samples: number }; result: { uptimeMs: number } };
  'scale.measured': { params: Record<string, never>; result: ScaleMeasurement };
  'scale.calibrate': { params: Token & ScaleCalibration; result: { history: number } };
  'scale.zero': { params: Token & { zeroCode: number }; result: { shiftG: number } };
  /** Newest first; index 0 is in use. */
  'scale.history': {
    params: Record<string, never>;
    result: { calibrations: readonly ScaleCalibration[] };
  };
  'scale.restore': { params: Token & { index: number }; result: ScaleCalibration };

  'probe.read': {
    params: Record<string, never>;
    result: ProbesRead;
  };
  'probe.calibrate': {
    params: Token & { channel: number; offsetK: number };
    result: { offsetK: number };
  };
  /**
   * Tells which NTC a probe is, or, without resistances, that it is the reference one. Forgets its calibration, and
   * starts the board again where that changes anything: the limiter takes another curve at a start alone.
   */
  'probe.curve': {
    params: Token & { channel: number } & Partial<ProbeCurve>;
    result: { restarts: boolean };
  };

  /** Runs the pump once, by the grower's hand; refused while a dose runs. Counts toward the caps. */
  'pump.run': {
    params: Token & { ms: number; reason: 'prime' | 'calibrate' };
    result: { uptimeMs: number };
  };
  'pump.state': {
    params: Record<string, never>;
    result: {
      running: boolean;
      leftMs: number;
      ranMs: number;
      calibration: PumpCalibration | null;
      /** What it gives by its proved doses, as a share of that, and by how much a dose is usually off. */
      share: number;
      scatter: number;
    };
  };
  'pump.stop': { params: Token; result: { ranMs: number } };
  'pump.calibrate': {
    params: Token & { mlPerS: number; cvPercent: number };
    result: { previousMlPerS: number | null };
  };

  /** Heats the mat by the grower's hand, to try it, from the next tick on; refused while a crop stands. `ms` 0 ends it. */
  'mat.run': { params: Token & { ms: number }; result: { uptimeMs: number } };
  /** Sounds the sounder for so long, to try it. */
  'sounder.run': { params: Token & { ms: number }; result: { uptimeMs: number } };

  'mark.set': {
    params: Token & {
      mark: Mark;
      /** For `dry` and `soaked`: a weight the grower gives instead of the scale's, g. */
      trayG?: number;
      /** For `refilled`: what is in the reservoir now, ml (the profile's volume unless told), and its EC. */
      volumeMl?: number;
      feedEc?: number;
      /** For `moved`: how many pieces stay on the scale; unsaid, as many as before. */
      pieces?: number;
    };
    result: {
      trayG: number | null;
      dryG: number | null;
      stage: number | null;
      note: MarkNote | null;
    };
  };
  /** Writes a count of emergence into the journal. */
  'count.write': {
    params: Token & { standing: number; of: number };
    result: { standing: number; of: number };
  };
  /** Writes a note into the journal, in so many entries. `data`: its text, UTF-8 in base64: a request has no escapes. */
  'note.write': { params: Token & { data: string }; result: { entries: number } };
  'stage.next': { params: Token; result: { stage: number } };
  /** Keeps the running stage until `stage.next` or a mark; `stay` false lets time end it again. */
  'stage.stay': { params: Token & { stay: boolean }; result: { staying: boolean } };

  /** Most urgent first. */
  'alarm.list': { params: Record<string, never>; result: { alarms: readonly AlarmReport[] } };
  'alarm.accept': { params: Token & { alarm: AlarmName }; result: AlarmReport };
  'alarm.clear': { params: Token & { alarm: AlarmName }; result: AlarmReport };
  'alarm.shelve': { params: Token & { alarm: AlarmName; forS: number }; result: AlarmReport };

  'profile.slots': {
    params: Record<string, never>;
    result: { slots: readonly ProfileSlotInfo[] };
  };
  /** Opens the idle slot for an image of `bytes` bytes with this CRC-32. */
  'profile.begin': { params: Token & { bytes: number; crc: number }; result: { slot: number } };
  /** Chunks in order from offset 0; a repeated chunk is answered, not written twice. */
  'profile.chunk': { params: { offset: number; data: string }; result: { next: number } };
  /** Checks the whole slot, then makes it the active one. `stage`: where the tray goes on, null: from the start. */
  'profile.commit': {
    params: Token & { id: number; stage: number | null };
    result: { id: number; slot: number; stage: number | null };
  };
  'profile.read': {
    params: { slot: number; offset: number };
    result: { data: string; bytes: number };
  };

  'journal.info': {
    params: Record<string, never>;
    result: { first: number; next: number; boot: number; uptimeMs: number };
  };
  /** Up to `count` packed entries from `from` on, base64, oldest first; `first` moves as the ring turns. */
  'journal.page': {
    params: { from: number; count: number };
    result: { from: number; count: number; data: string; first: number; next: number };
  };
}

/**
 * What a grower should know after a mark. `dry-reckoned`: no dry weight was taken, so it follows from
 * the medium. `weights-forgotten`: other pieces stand on the scale now.
 */
export const MARK_NOTES = ['dry-taken', 'dry-reckoned', 'weights-forgotten'] as const;
export type MarkNote = (typeof MARK_NOTES)[number];

export type MethodName = keyof Methods;
export type Params<M extends MethodName> = Methods[M]['params'];
export type Result<M extends MethodName> = Methods[M]['result'];

/** Limits of the link, one source for both ends. */
export const LINK_LIMITS = {
  /** Longest line towards the board, CRC and newline included. */
  lineToBoardBytes: 1024,
  /** Longest line from the board: a full journal page. */
  lineToHostBytes: 8192,
  /** Entries in one journal page. */
  pageEntries: 96,
  /** Bytes of image in one profile chunk (before base64). */
  profileChunkBytes: 512,
  /** Replies to tokens the board remembers. */
  rememberedTokens: 8,
} as const;

/** JSON-RPC 2.0 error codes (specification, section 5.1), then our own range. */
export const RPC_ERROR = {
  parse: -32700,
  invalidRequest: -32600,
  methodNotFound: -32601,
  invalidParams: -32602,
  internal: -32603,
  /** The line's CRC did not match, or it was too long. Repeat it. */
  damagedLine: -32000,
  /** Understood, and not done: `message` is a `RefusalReason`, `data` its facts. */
  refused: -32001,
  /** Not now: something else is under way. */
  busy: -32002,
} as const;
