/** The shape of advice, and what several alarms say alike. */
/** What the value and the limit of an alarm measure, so that they can be shown in the user's units. */
export type AlarmQuantity =
  | 'temperature'
  | 'temperature-change'
  | 'code'
  | 'mass'
  | 'mass-rate'
  | 'ec'
  | 'volume'
  | 'share'
  | 'days'
  | 'count'
  /** 1: there is a supply behind a second switch; 0: there is none. */
  | 'supply'
  /** A value of `MAT_OPEN`. */
  | 'mat-open'
  /** A place in `HELD_REASONS`. */
  | 'held'
  | 'none';

export interface Advice {
  /** A few words, as a heading. */
  readonly title: string;
  /** What the controller saw, and what it does about it. */
  readonly meaning: string;
  /** Likely causes, likeliest first. */
  readonly causes: readonly string[];
  /** What to do, in order; what a latched alarm wants at the end of it, `nextSteps` adds. */
  readonly next: readonly string[];
  readonly quantity: AlarmQuantity;
}

/** Next step of several alarms. */
export const UNPLUG_MAT = 'If the mat is warm, unplug it before you touch anything wet.';
