/** Whether an alarm stands that saw water run in: then what a tray weighs is not what it holds. */
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { AlarmBank } from '../guard/alarm-bank';

/** Both latch: whoever has stopped what runs in says so. */
const INFLOW_ALARMS = ['pump-stuck-on', 'weight-rising'] as const satisfies readonly AlarmName[];

/** The first of them that stands; null when none does. */
export function inflowAlarm(alarms: Pick<AlarmBank, 'record'>): AlarmName | null {
  return INFLOW_ALARMS.find((name) => alarms.record(name).standing) ?? null;
}
