/** Why mat or pump is held off: the words of `heldBy` in a status. Sentences for them are the host's. */
import type { AlarmName } from '../alarms/catalogue';

/** Reasons that are no alarm. The journal keeps one by its place, as the value of `water-held`: append only. */
export const HELD_REASONS = [
  'not-sown',
  'probe',
  'hold',
  'pump-hour',
  'storage',
  'scale',
  'pump-not-calibrated',
  'capacity-unknown',
  'transplant-hold',
  'handling',
  'tray-off',
  'quiet-hours',
  'feed-change',
  'mat-rests',
] as const;

export type HeldReason = (typeof HELD_REASONS)[number];

/** An alarm, by its name, or a reason that is none. */
export type HeldBy = AlarmName | HeldReason;
