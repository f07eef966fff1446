/** Alarms as the link tells them, and what a person does with them. */
import { byUrgency } from '../../shared/alarms/priority';
import type { Params } from '../../shared/link/methods';
import type { AlarmReport } from '../../shared/link/status';
import type { Alarm } from '../guard/alarm';
import { GUARD_LIMITS } from '../guard/limits';
import { refuse } from '../link/refusal';
import type { Ticker } from '../tick/ticker';
import type { Tray } from '../tray/tray';
import { hundredths, orNull, seconds } from './numbers';

/** One alarm as the link tells it; its value and limit to two decimals, null when it has none. */
export function alarmReport(tray: Tray, record: Alarm): AlarmReport {
  const { uptimeMs } = tray;
  return {
    alarm: record.name,
    state: record.state,
    shelvedS: record.shelvedUntilMs === 0 ? 0 : seconds(record.shelvedUntilMs - uptimeMs),
    ageS: seconds(uptimeMs - record.raisedMs),
    endedS: Number.isNaN(record.endedMs) ? null : seconds(uptimeMs - record.endedMs),
    atLeast: tray.alarms.atLeast(record),
    value: orNull(hundredths(record.value)),
    limit: orNull(hundredths(record.limit)),
  };
}

/** Every alarm that is not normal, or is shelved; the most urgent first. */
export function alarmReports(tray: Tray): readonly AlarmReport[] {
  return tray.alarms.records
    .filter((record) => record.state !== 'normal' || record.shelvedUntilMs !== 0)
    .map((record) => alarmReport(tray, record))
    .sort(byUrgency);
}

/** A person has seen the alarm. Refuses `alarm-normal`. */
export function alarmAccept({ tray }: Ticker, { alarm }: Params<'alarm.accept'>): AlarmReport {
  if (tray.alarms.record(alarm).state === 'normal') refuse('alarm-normal', alarm);
  return alarmReport(tray, tray.alarms.accept(alarm));
}

/** Takes a latched alarm back. Refuses `alarm-normal`, and `still-present` while its cause is there. */
export function alarmClear(
  { tray, senses, guard }: Ticker,
  { alarm }: Params<'alarm.clear'>,
): AlarmReport {
  if (tray.alarms.record(alarm).state === 'normal') refuse('alarm-normal', alarm);
  if (!tray.alarms.clear(alarm)) refuse('still-present', alarm);
  if (alarm === 'probe-jumped') senses.rootZone.restartJudging();
  guard.weightRestarts();
  return alarmReport(tray, tray.alarms.record(alarm));
}

/** Quiet for `forS` seconds, a day at most. Refuses `alarm-normal` and `shelved-too-long`. */
export function alarmShelve(
  { tray }: Ticker,
  { alarm, forS }: Params<'alarm.shelve'>,
): AlarmReport {
  const record = tray.alarms.record(alarm);
  if (record.state === 'normal') refuse('alarm-normal', alarm);
  if (forS > GUARD_LIMITS.shelveMaxS) refuse('shelved-too-long', GUARD_LIMITS.shelveMaxS);
  const { uptimeMs } = tray;
  return alarmReport(tray, tray.alarms.shelve(alarm, uptimeMs, uptimeMs + forS * 1000));
}
