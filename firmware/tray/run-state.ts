/**
 * What a restart must know of the run, in parts. Each part is written by one owner, who gets it
 * writable from `open.ts`; everybody else sees a `View` of it, through `Tray.run` or its owner.
 */
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { type ProbeFields, probeFields } from '../../shared/board/probes';
import { NO_STAGE } from '../../shared/journal/kinds';
import { WATER_LIMITS, WEIGHT_LIMITS } from '../limits';
import type { WaterAccount } from './water-account';

/** The profile that runs. Written by `Tray.useProfile`. */
export interface Program {
  /** Slot and identifier, 0 when none: one record, so both switch at once. */
  slot: number;
  profileId: number;
}

/** Where the tray is in its profile. Written by `tick/staging.ts`. */
export interface Progress {
  /** Index of the running stage, `NO_STAGE` before sowing. */
  stage: number;
  staying: boolean;
  stageRunMs: number;
  transplantHoldMs: number;
  /** Run time since emergence, ms; NaN before it. */
  sinceEmergedMs: number;
  /** Pieces that stayed when some were moved on; NaN: as many as the profile has. */
  pieces: number;
}

/** What is known of the tray's weights. Written by `tick/kept-weights.ts`. */
export interface KnownWeights {
  capacityG: number;
  dryG: number;
  dryWeighed: boolean;
  sinceSoakedMs: number;
  /** How fast the plants grew between the last two times at container capacity, g/ms; 0 while unknown. */
  growthGPerMs: number;
  /** What the plants have gained since the first of them, g. */
  plantsG: number;
  /** Settled weight, as `control/weight.ts` has it, g. */
  settledG: number;
  /**
   * A hand is on the tray as it stands there, and not only water that runs in or out: what the weight is off by after a cut is
   * the hand's.
   */
  handled: boolean;
  /**
   * Starts since the tray was weighed last: what it lost or got since is still to be told. Infinite where nobody knows for how
   * long that is: the board had no power for a time, no hand on the tray as that went, or started again before it weighed it;
   * or its scale trembles, or has only just begun to weigh again.
   */
  unweighedStarts: number;
  /** What is on the scale, or missing from it, without being tray and water, g: the sum of the ledger. */
  shiftG: number;
  /** The open steps of the ledger: size in g, 0 for none, and index into `STEP_KINDS`. */
  readonly stepsG: Float64Array;
  readonly stepKinds: Uint8Array;
  /** Which of them are water that was no thing: a bit for each, the first the lowest. */
  ownWater: number;
  /** Of the last of them: weight as read when it was over, g, NaN where it tells nothing; run time of the controller then, ms. */
  stepAfterG: number;
  stepAtRunMs: number;
  /**
   * What the tray may have lost lately while nobody weighed it, hidden by a thing, g, 0 where nothing; and run time of the
   * controller as it was weighed again, ms.
   */
  hidesG: number;
  hidesAtRunMs: number;
  /** What was off before and came back with one of them, as it seemed, g, 0 for none; and the place of that one in the rows. */
  paidG: number;
  paidPlace: number;
}

/** Water that was given lately. Written by `tick/draining.ts`. */
export interface Watered {
  /** Since it was last given by hand, ms; infinite when it never was. */
  sinceByHandMs: number;
  /** What was given last may run out, down to container capacity, and that has not been seen. */
  drains: boolean;
}

/** Doses that were charged, beyond their volume. Written by `tick/dose-charges.ts`. */
export interface Dosing {
  /** A dose was charged and not yet ended: its ml, 0 when none. */
  pendingMl: number;
  /** This hold has had its rescue dose. */
  rescued: boolean;
  /** The running stage has had the water it opens with. */
  opened: boolean;
}

/** What the scale has said of doses. Written by `tick/dose-proofs.ts`. */
export interface Proofs {
  /** Doses in a row that nobody could weigh or saw come, fewer than `WATER_LIMITS.unprovedMax`. */
  unproved: number;
  /** Since one was seen, those that came and ran off a tray of which nobody knows whether it was full; as few. */
  ranOff: number;
  /** What the pump gives, as a share of its calibration, by its proved doses; 1 at first. */
  pumpShare: number;
  /** By how much a dose is usually off that, as a share; 0 at first. */
  pumpScatter: number;
}

/** What is known of the feed. Written by `tick/feed-store.ts`. */
export interface Reservoir {
  /** Volume at the last fill, ml, and EC at 25 C, mS/cm, as the grower told; NaN while unknown. */
  filledMl: number;
  feedEc: number;
  /** Run time of the controller at that fill, ms; NaN while unknown. */
  filledAtRunMs: number;
  /** Given since emergence: volume, ml, and dissolved salts, mg. */
  plantsMl: number;
  plantsSaltsMg: number;
  /** The same for one piece, whatever their number was at each dose; NaN for a crop older than this account. */
  eachMl: number;
  eachSaltsMg: number;
}

/** How often each probe's curve was told (`KeptCurve.number`): what is kept of it must be no older. */
type CurveNumbers = { -readonly [Name in keyof ProbeFields<'curve', number>]: number };

/** The board itself. Written by `tray/tray.ts` and `tray/open.ts`. */
export interface Service extends CurveNumbers {
  /** Run time of the controller since it was first switched on, ms. */
  totalRunMs: number;
  /**
   * Time of day at the checkpoint, Unix ms; 0 while unknown. Behind by the outages before it as long
   * as no clock has told how long they were.
   */
  unixMs: number;
  /** Root zone at the checkpoint, degrees Celsius; NaN while unknown. */
  rootZoneC: number;
  /** For how long something that is no alarm has held water off, ms. */
  waterHeldMs: number;
  /** For how long the root zone has been outside its band, ms; and by how much it has risen lately, K in minutes. */
  outOfBandMs: number;
  trendRoseK: number;
  trendForMin: number;
  /** Total run time at the last restarts by fault, ms, newest first; NaN when none. */
  readonly faultRestarts: Float64Array;
  readonly alarmStates: Uint8Array;
}

/** All of it: one object a boot, changed in place by the owners of its parts. */
export interface RunState {
  readonly program: Program;
  readonly progress: Progress;
  readonly weights: KnownWeights;
  readonly watered: Watered;
  readonly account: WaterAccount;
  readonly dosing: Dosing;
  readonly proofs: Proofs;
  readonly reservoir: Reservoir;
  readonly service: Service;
}

/** A part as everybody but its owner sees it: nothing in it can be written, its rows of numbers neither. */
export type View<Part> = {
  readonly [Field in keyof Part]: Part[Field] extends Float64Array | Uint8Array
    ? ArrayLike<number>
    : Part[Field];
};
/** All of it, as everybody but the owners sees it. */
export type RunView = { readonly [Part in keyof RunState]: View<RunState[Part]> };

const FAULTS_KEPT = 3;

/** The run state of a board that has never run: nothing sown, nothing given, no weight known. */
export function emptyRunState(): RunState {
  return {
    program: { slot: 0, profileId: 0 },
    progress: {
      stage: NO_STAGE,
      staying: false,
      stageRunMs: 0,
      transplantHoldMs: 0,
      sinceEmergedMs: Number.NaN,
      pieces: Number.NaN,
    },
    weights: {
      capacityG: Number.NaN,
      dryG: Number.NaN,
      dryWeighed: false,
      sinceSoakedMs: Number.POSITIVE_INFINITY,
      growthGPerMs: 0,
      plantsG: 0,
      settledG: Number.NaN,
      handled: false,
      unweighedStarts: 0,
      shiftG: 0,
      stepsG: new Float64Array(WEIGHT_LIMITS.ledgerMax),
      stepKinds: new Uint8Array(WEIGHT_LIMITS.ledgerMax),
      ownWater: 0,
      stepAfterG: Number.NaN,
      stepAtRunMs: 0,
      hidesG: 0,
      hidesAtRunMs: 0,
      paidG: 0,
      paidPlace: 0,
    },
    watered: { sinceByHandMs: Number.POSITIVE_INFINITY, drains: false },
    account: {
      hoursMl: new Float64Array(WATER_LIMITS.dayHours),
      hour: 0,
      hourMs: 0,
      dayMl: 0,
      stageMl: 0,
      usedMl: 0,
      pumpRunMs: 0,
    },
    dosing: { pendingMl: 0, rescued: false, opened: false },
    proofs: { unproved: 0, ranOff: 0, pumpShare: 1, pumpScatter: 0 },
    reservoir: {
      filledMl: Number.NaN,
      feedEc: Number.NaN,
      filledAtRunMs: Number.NaN,
      plantsMl: 0,
      plantsSaltsMg: 0,
      eachMl: Number.NaN,
      eachSaltsMg: Number.NaN,
    },
    service: {
      totalRunMs: 0,
      unixMs: 0,
      rootZoneC: Number.NaN,
      waterHeldMs: 0,
      outOfBandMs: 0,
      trendRoseK: 0,
      trendForMin: 0,
      ...probeFields('curve', () => 0),
      faultRestarts: new Float64Array(FAULTS_KEPT).fill(Number.NaN),
      alarmStates: new Uint8Array(ALARM_NAMES.length),
    },
  };
}
