/** Whether a tray can be left alone, and for how long: what is printed, and what programs are given. */
import type { Need } from '../../firmware/control/need';
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { Mark } from '../../shared/profile/profile';
import type { EndKind } from '../forecast/walk';

/** What hands are wanted for. `stage`: another one begins, and with it another place of the lid or another feed. */
export const TASK_KINDS = ['emergence', 'stage', 'feed', 'transplant'] as const;
export type TaskKind = (typeof TASK_KINDS)[number];

/** What the tray cannot hold by itself. `cold`: a night like one it has just had is too cold for its mat. */
export type HoldKind = EndKind | 'cold';

/** A time ahead, and its date where the tray is. */
export interface Moment {
  /** From now, hours; 0 where it is due. */
  readonly inH: number;
  readonly unixMs: number;
}

interface Timed extends Moment {
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

/** What somebody does before water goes on, and what they type then; null where nothing is to be typed. */
export interface Freed {
  readonly until: string;
  readonly command: string | null;
}

/** What must be put right before anybody leaves. */
export interface Obstacle {
  readonly kind: 'alarm' | 'held' | 'reservoir-unknown';
  readonly alarm: AlarmName | null;
  readonly says: string;
  readonly next: readonly string[];
  /** How the water is freed that it holds off; null where it holds off none. */
  readonly water: Freed | null;
}

/** The one thing that buys most time. */
export interface Change {
  readonly kind: 'fill' | 'soak' | TaskKind;
  readonly says: string;
  /** How long the tray then is held by itself, and how long it is to the first limit of any kind, h. */
  readonly holdsH: number;
  readonly untilH: number;
  /** The first limit that is ahead then; null where there is none within the time that is looked ahead. */
  readonly limitThen: Limit | null;
}

/** `with-help`: the tray is held, and something waits for hands meanwhile. `not-now`: something is wrong already. */
export const VERDICTS = ['yes', 'with-help', 'no', 'not-now'] as const;
export type Verdict = (typeof VERDICTS)[number];

/** A dose that comes by itself: when it is likely, and between what it comes nine of ten times. */
export interface ExpectedDose extends Moment {
  readonly kind: 'expected';
  readonly ml: number;
  readonly need: Need;
  readonly soonest: Moment;
  /** Null: not within the time that is looked ahead. */
  readonly latest: Moment | null;
  /** The mark of somebody that brings water sooner, in a stage that gives none; null elsewhere. */
  readonly soonerBy: Mark | null;
}

/** No dose comes before somebody does something. */
export interface HeldDose extends Freed {
  readonly kind: 'held';
  /** The one dose that such a stage gives all the same, where its wool gets too dry. */
  readonly rescue: ExpectedDose | null;
}

/** `none`: the tray wants none within the time that is looked ahead. */
export type NextDose = ExpectedDose | HeldDose | { readonly kind: 'none' };

/** As it is likely, and what it lies between in nine of ten cases. */
export interface Range {
  readonly low: number;
  readonly likely: number;
  readonly high: number;
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
  /** Water that the tray loses a day now, ml. */
  readonly driesMlPerDay: Range;
  /** All doses within the time asked, ml, if the reservoir has them. */
  readonly dosesMl: Range;
  readonly reservoirMl: number | null;
  readonly nextDose: NextDose;
}
