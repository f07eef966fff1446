/** What is found of one time that an alarm stood. Pure. */
import { HOUR_MS } from '../../shared/units/time';
import type { AlarmSpan } from './alarm-spans';
import { type Claim, claim, type Finding } from './finding';

/** A finding that has the times of its alarm, and does the crop nothing that the journal could tell. */
export function spanFinding(
  { fromMs, toMs, standing }: AlarmSpan,
  told: Pick<Finding, 'kind' | 'what' | 'causes' | 'did' | 'alarms' | 'weight'>,
): Finding {
  return { fromMs, toMs, open: standing, crop: [], measures: {}, ...told };
}

/** What was so, for how long and when. */
export const lasted = (what: string, { fromMs, toMs, standing, raised }: AlarmSpan): Claim =>
  claim(
    ({ span: shown, when }) => `${what}, ${shown(toMs - fromMs)}, ${when(fromMs, toMs, standing)}`,
    [raised],
  );

export const hoursOf = ({ fromMs, toMs }: AlarmSpan): number => (toMs - fromMs) / HOUR_MS;

/** What still stands has to be told before what has passed. */
export const stillWeight = ({ standing }: AlarmSpan): number => (standing ? 4 : 0);
