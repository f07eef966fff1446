/** How urgent each alarm is to a grower (IEC 62682: how bad it may become, and how soon). */
import type { AlarmName, AlarmState } from './catalogue';

/** Most urgent first. */
export const ALARM_PRIORITIES = ['high', 'medium', 'low'] as const;
export type AlarmPriority = (typeof ALARM_PRIORITIES)[number];

/** 0 for the most urgent. */
export const rankOf = (priority: AlarmPriority): number => ALARM_PRIORITIES.indexOf(priority);

/** Priority of every alarm. */
export const ALARM_PRIORITY: Readonly<Record<AlarmName, AlarmPriority>> = {
  'probe-open': 'high',
  'probe-short': 'high',
  'probe-frozen': 'high',
  'probe-jumped': 'high',
  'mat-probe-failed': 'high',
  'root-zone-hot': 'high',
  'mat-hot': 'high',
  'mat-no-effect': 'high',
  'probe-suspect': 'high',
  'band-out-of-reach': 'medium',
  'mat-stuck-on': 'high',
  'scale-silent': 'medium',
  'scale-saturated': 'medium',
  'scale-noisy': 'medium',
  'dose-not-seen': 'high',
  'dose-too-large': 'high',
  'weight-rising': 'high',
  'weight-falling': 'high',
  'day-cap-reached': 'medium',
  'stage-cap-reached': 'medium',
  'reservoir-low': 'medium',
  'too-dry': 'high',
  'profile-missing': 'medium',
  'calibration-missing': 'medium',
  'calibration-old': 'low',
  'restarting-often': 'high',
  'storage-failing': 'high',
  'pump-stuck-on': 'high',
  'too-warm': 'medium',
  'too-cold': 'high',
  'tray-away': 'medium',
  'thing-on-tray': 'low',
  'water-held': 'high',
  'feed-late': 'high',
  'drying-fast': 'high',
  'feed-unlike': 'low',
  'drying-stopped': 'medium',
  'pump-off': 'low',
  'supply-wrong': 'high',
  'settings-lost': 'high',
  'mat-open': 'high',
};

/** What the order goes by. */
interface Ranked {
  readonly alarm: AlarmName;
  readonly state: AlarmState;
}

/** What is over comes last, whatever it was: there is nothing left to do but to see it. */
function rank({ alarm, state }: Ranked): number {
  const over = state === 'returned' || state === 'normal';
  return rankOf(ALARM_PRIORITY[alarm]) + (over ? ALARM_PRIORITIES.length : 0);
}

/** Orders alarms by urgency; those alike stay in the order they have. */
export function byUrgency(a: Ranked, b: Ranked): number {
  return rank(a) - rank(b);
}
