/** The alarms that stand at a tray, as open doors tell of them. Pure. */
import type { AlarmName } from '../../../shared/alarms/catalogue';
import { ALARM_PRIORITY, type AlarmPriority } from '../../../shared/alarms/priority';
import type { Status } from '../../../shared/link/status';
import { isSeen, isStanding } from '../tray/view';

export interface StandingAlarm {
  readonly alarm: AlarmName;
  readonly priority: AlarmPriority;
  readonly seen: boolean;
}

/** Those that the keeper tells of, the most urgent first. */
export const standingAlarms = (status: Status): readonly StandingAlarm[] =>
  status.alarms.filter(isStanding).map((report) => ({
    alarm: report.alarm,
    priority: ALARM_PRIORITY[report.alarm],
    seen: isSeen(report),
  }));
