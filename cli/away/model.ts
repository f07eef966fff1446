/** Whether a tray can be left alone, and for how long: what is printed, and what programs are given. */
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { EndKind } from '../forecast/walk';

/** What hands are wanted for. `stage`: another one begins, and with it another place of the lid or another feed. */
export const TASK_KINDS = ['emergence', 'stage', 'feed', 'transplant'] as const;
export type TaskKind = (typeof TASK_KINDS)[number];

/** What the tray cannot hold by itself. `cold`: a night like one it has just had is too cold for its mat. */
export type HoldKind = EndKind | 'cold';

interface Timed {
  /** From now, hours; 0 where it is due. */
  readonly inH: number;
  readonly unixMs: number | null;
  readonly says: string;
}

/** An end of the tray's being held, said with certainty; and when it is likely. */
export interface HoldLimit extends Timed {
  readonly by: 'tray';
  readonly kind: HoldKind;
  /** Null: not within the time that is looked ahead. */
  readonly likelyInH: number | null;
}

/** A task that waits for hands. */
export interface HandsLimit extends Timed {
  readonly by: 'hands';
  readonly kind: TaskKind;
}

export type Limit = HoldLimit | HandsLimit;

/** What must be put right before anybody leaves. */
export interface Obstacle {
  readonly kind: 'alarm' | 'held' | 'reservoir-unknown';
  readonly alarm: AlarmName | null;
  readonly says: string;
  readonly next: readonly string[];
}

/** The one thing that buys most time. */
export interface Change {
  readonly kind: 'fill' | 'soak' | TaskKind;
  readonly says: string;
  /** How long the tray then is held by itself, and how long it is to the first limit of any kind, h. */
  readonly holdsH: number;
  readonly untilH: number;
}

/** `with-help`: the tray is held, and something waits for hands meanwhile. `not-now`: something is wrong already. */
export const VERDICTS = ['yes', 'with-help', 'no', 'not-now'] as const;
export type Verdict = (typeof VERDICTS)[number];

export interface NextDose {
  readonly inH: number;
  readonly unixMs: number | null;
  readonly ml: number;
}

export interface Away {
  readonly verdict: Verdict;
  readonly askedH: number;
  /** How long the tray is held by itself, with `certainty`, h; no more than is looked ahead. */
  readonly holdsH: number;
  /** Nothing ends it within the time that is looked ahead. */
  readonly holdsLonger: boolean;
  readonly certainty: number;
  /** In order of time. */
  readonly limits: readonly Limit[];
  readonly obstacles: readonly Obstacle[];
  readonly change: Change | null;
  /** What is to be done every day meanwhile; what else is to be known. */
  readonly daily: readonly string[];
  readonly remarks: readonly string[];
  /** Water that the tray takes a day now, ml, and what it lies between in nine of ten cases. */
  readonly mlPerDay: { readonly low: number; readonly likely: number; readonly high: number };
  readonly reservoirMl: number | null;
  readonly nextDose: NextDose | null;
}
