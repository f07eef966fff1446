/** Why an output is held off, in a grower's words. */
import { ADVICE } from '../../shared/alarms/advice';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { HELD_REASONS, type HeldReason } from '../../shared/link/held';

/** The controller's words for what is no alarm. */
const REASONS: Readonly<Record<HeldReason, string>> = {
  'not-sown': 'not marked sown yet',
  hold: 'no water in a hold stage',
  storage: 'the board cannot store its state',
  scale: 'the scale is not in order',
  probe: 'a probe is in doubt',
  'pump-not-calibrated': 'the pump is not calibrated',
  'capacity-unknown': 'not marked soaked yet',
  'pump-hour': 'the pump has run as long as it may in this hour',
  'transplant-hold': 'left alone after transplanting',
  handling: 'a hand at the tray lately',
  'tray-off': 'the tray is not on the scale',
  'quiet-hours': 'quiet hours',
  'feed-change': 'waiting for the feed that this stage wants',
  'mat-rests': 'the mat rests to show how warm the tray is',
};

/** Whether it is an alarm that holds an output off: then a person is wanted. */
export const isHeldByAlarm = (heldBy: string | null): boolean =>
  ALARM_NAMES.some((name) => name === heldBy);

/** A reason by its place in `HELD_REASONS`; one of a newer board by its number. */
export function reasonText(place: number): string {
  const reason = HELD_REASONS[place];
  return reason === undefined ? `reason ${place}` : REASONS[reason];
}

/** What `heldBy` of a status means: an alarm by its title, or a reason; one of a newer board as it came. */
export function heldText(heldBy: string): string {
  const alarm = ALARM_NAMES.find((name) => name === heldBy);
  if (alarm !== undefined) return `alarm "${ADVICE[alarm].title}"`;
  const reason = HELD_REASONS.find((word) => word === heldBy);
  return reason === undefined ? heldBy : REASONS[reason];
}
