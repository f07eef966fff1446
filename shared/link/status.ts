/** How a tray stands, as `status.read` and `alarm.list` tell it. */
import type { AlarmName, AlarmState } from '../alarms/catalogue';
import type { ProbeFields } from '../board/probes';
import type { FeedAhead } from '../profile/first-feed';
import type { LidPlace, Mark } from '../profile/profile';
import type { HeldBy } from './held';
export type ProbeState = 'ok' | 'open' | 'short' | 'frozen' | 'jumped';
export type ScaleState = 'ok' | 'uncalibrated' | 'silent' | 'saturated' | 'noisy';
export type WaterPhase = 'idle' | 'weighing' | 'dosing' | 'soaking-in' | 'proving' | 'service';

export interface AlarmReport {
  readonly alarm: AlarmName;
  readonly state: AlarmState;
  /** Seconds of shelving left, 0 when not shelved. */
  readonly shelvedS: number;
  /** Seconds since it was raised. */
  readonly ageS: number;
  /** Seconds since its condition ended; null while it holds, and when nobody knows. */
  readonly endedS: number | null;
  /** `endedS`, or `ageS` while that is null, does not count a power cut of unknown length. */
  readonly atLeast: boolean;
  /** What was measured when it was last raised, and the limit it met. */
  readonly value: number | null;
  readonly limit: number | null;
}

/** A time without power. */
export interface Outage {
  readonly forS: number;
  /** Seconds since the power came back. */
  readonly agoS: number;
  /** Root zone before and at the end of it, degrees Celsius. */
  readonly beforeC: number | null;
  readonly afterC: number | null;
}

/** What `status.read` tells. Null: unknown, or there is none. */
export interface Status {
  readonly uptimeMs: number;
  readonly unixMs: number | null;
  readonly profile: {
    readonly id: number;
    readonly crop: string;
    readonly title: string;
    readonly stages: number;
  } | null;
  /** Null until the tray is marked sown. */
  readonly stage: {
    readonly index: number;
    readonly name: string;
    readonly kind: string;
    readonly runS: number;
    /** Seconds until run time ends it, null when only a mark does. */
    readonly leftS: number | null;
    readonly endsByMark: Mark | null;
    /** Where it belongs. */
    readonly lid: LidPlace;
    readonly feedEc: number;
    readonly staying: boolean;
  } | null;
  readonly heat: {
    readonly lowC: number | null;
    readonly highC: number | null;
    readonly on: boolean;
    /** Alarm or other reason that holds the mat off, or null. */
    readonly heldBy: HeldBy | null;
    readonly dutyShare: number;
  } & ProbeFields<'celsius', number | null> &
    ProbeFields<'state', ProbeState>;
  readonly water: {
    readonly trayG: number | null;
    readonly scale: ScaleState;
    readonly stable: boolean;
    readonly spreadG: number | null;
    readonly capacityG: number | null;
    readonly dryG: number | null;
    /** Without what the plants have gained since container capacity was taken. */
    readonly dryBackShare: number | null;
    /** As the scale reads it, the plants taken for water. */
    readonly readDryBackShare: number | null;
    /** What the plants are thought to have gained since then, g, and by how much that may be off. */
    readonly grownG: number;
    readonly grownOffG: number;
    /** Loss of weight over the last 25 minutes, and what is usual under this lid, g/h. */
    readonly dryingGPerH: number | null;
    readonly usualDryingGPerH: number | null;
    readonly startShare: number | null;
    readonly stopShare: number | null;
    readonly phase: WaterPhase;
    /** Alarm or other reason that holds water off, or null. */
    readonly heldBy: HeldBy | null;
    readonly dayMl: number;
    readonly dayCapMl: number | null;
    readonly stageMl: number;
    readonly stageCapMl: number | null;
    /** Null until the grower has said what is in it. */
    readonly reservoirLeftMl: number | null;
    /** EC of the feed in it at 25 C, mS/cm, as the grower told. */
    readonly reservoirEc: number | null;
    /** For how long doses wait for the feed that the stage wants; 0 when they go on, null when this is it. */
    readonly otherFeedWaitS: number | null;
    /** The feed that this stage or a later one opens with; null where none is sure to come by a time. */
    readonly feedAhead: FeedAhead | null;
    /** What the pump gives as a share of its calibration, by its proved doses. */
    readonly pumpShare: number;
    /** By how much a dose is usually off that, as a share. */
    readonly pumpScatter: number;
    /** Given since emergence: volume, ml, and dissolved salts, mg. */
    readonly plantsMl: number;
    readonly plantsSaltsMg: number;
    /** The same for one plant, counted by the pieces that the profile has in each stage; null when not known. */
    readonly eachMl: number | null;
    readonly eachSaltsMg: number | null;
  };
  /** The last time the board was off, since this start; null when there was none, or nobody knows. */
  readonly outage: Outage | null;
  /** Most urgent first. */
  readonly alarms: readonly AlarmReport[];
  readonly outputs: number;
  readonly journal: { readonly first: number; readonly next: number };
  /** Highest sector erase count of each region, as the board's own records tell. */
  readonly wear: { readonly settings: number; readonly journal: number };
}
