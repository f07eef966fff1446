/** What a watch finds. It says so and does nothing: the ticker tells the alarm bank. */
import { ALARM_NAMES, type AlarmName } from '../../shared/alarms/catalogue';

/**
 * `absent`, `present`: whether a condition holds now. `over`: it does not, and nothing is left that a person has
 * to look at, though the alarm latches. `happened`: a single thing that latches at once.
 */
export type Finding =
  | { readonly alarm: AlarmName; readonly is: 'absent' }
  | { readonly alarm: AlarmName; readonly is: 'over' }
  | {
      readonly alarm: AlarmName;
      readonly is: 'present' | 'happened';
      /** The value that decided and the limit it met; NaN when none. */
      readonly value: number;
      readonly limit: number;
    };

/** Made once: nearly every finding of every tick is one of these. */
const ABSENT = new Map<AlarmName, Finding>(
  ALARM_NAMES.map((alarm) => [alarm, { alarm, is: 'absent' }]),
);

/** Nothing was found. */
export const NOTHING: readonly Finding[] = [];

/** Whether the condition of `alarm` holds now. */
export function condition(
  alarm: AlarmName,
  holds: boolean,
  value = Number.NaN,
  limit = Number.NaN,
): Finding {
  if (holds) return { alarm, is: 'present', value, limit };
  return ABSENT.get(alarm) ?? { alarm, is: 'absent' };
}

/** Something happened that must not happen. */
export function happened(alarm: AlarmName, value = Number.NaN, limit = Number.NaN): Finding {
  return { alarm, is: 'happened', value, limit };
}
