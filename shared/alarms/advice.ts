/**
 * What each alarm says to a grower: what it means, what usually causes it, and what to do next. For the
 * host only; the board knows alarms by number.
 */
import { CONTROLLER_ADVICE } from './advice/controller';
import { HEAT_ADVICE } from './advice/heat';
import type { Advice } from './advice/kinds';
import { WATER_ADVICE } from './advice/water';
import type { AlarmName } from './catalogue';

export type { Advice, AlarmQuantity } from './advice/kinds';

/** Advice for every alarm. */
export const ADVICE: Readonly<Record<AlarmName, Advice>> = {
  ...HEAT_ADVICE,
  ...WATER_ADVICE,
  ...CONTROLLER_ADVICE,
};
