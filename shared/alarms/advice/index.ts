/**
 * What each alarm says to a grower: what it means, what usually causes it, and what to do next. For the
 * host only; the board knows alarms by number.
 */

import { ALARMS, type AlarmName } from '../catalogue';
import { CONTROLLER_ADVICE } from './controller';
import { HEAT_ADVICE } from './heat';
import type { Advice } from './kinds';
import { SCALE_ADVICE } from './scale';
import { WATER_ADVICE } from './water';

export type { Advice, AlarmQuantity } from './kinds';

/** Advice for every alarm. */
export const ADVICE: Readonly<Record<AlarmName, Advice>> = {
  ...HEAT_ADVICE,
  ...SCALE_ADVICE,
  ...WATER_ADVICE,
  ...CONTROLLER_ADVICE,
};

/** What to do about an alarm, in order, to the command that ends it where it does not end by itself. */
export function nextSteps(alarm: AlarmName): readonly string[] {
  const { next } = ADVICE[alarm];
  if (!ALARMS[alarm].latched) return next;
  return [
    ...next,
    `When it is put right: \`trayward alarm mended ${alarm}\`. The controller then goes on by itself.`,
  ];
}
