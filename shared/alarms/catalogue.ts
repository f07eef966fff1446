/**
 * Every alarm the guard knows: its number, its urgency and what it holds off. The board needs only
 * this; words for the grower are in `advice.ts` on the host. States follow IEC 62682 / ISA-18.2.
 */

export type AlarmPriority = 'high' | 'medium' | 'low';

export interface AlarmSpec {
  readonly priority: AlarmPriority;
  /** Latched: stays until a person clears it, even when the condition has gone. */
  readonly latched: boolean;
  /** While present (or latched) the mat stays off. */
  readonly dropsMat: boolean;
  /** While present (or latched) no dose is started, and a running one stops. */
  readonly dropsPump: boolean;
  readonly sounds: boolean;
}

const safety = (dropsMat: boolean, dropsPump: boolean): AlarmSpec => ({
  priority: 'high',
  latched: true,
  dropsMat,
  dropsPump,
  sounds: true,
});
const waterFault = (priority: AlarmPriority, latched: boolean): AlarmSpec => ({
  priority,
  latched,
  dropsMat: false,
  dropsPump: true,
  sounds: false,
});
const notice = (priority: AlarmPriority): AlarmSpec => ({
  priority,
  latched: false,
  dropsMat: false,
  dropsPump: false,
  sounds: false,
});

/** In order of their number in the journal: append only. */
export const ALARMS = {
  'probe-open': safety(true, false),
  'probe-short': safety(true, false),
  'probe-frozen': safety(true, false),
  'probe-jumped': safety(true, false),
  'mat-probe-failed': safety(true, false),
  'root-zone-hot': safety(true, false),
  'mat-hot': safety(true, false),
  'mat-no-effect': { ...notice('high') },
  'probe-suspect': safety(true, false),
  'band-out-of-reach': notice('medium'),
  'mat-stuck-on': safety(true, false),
  'scale-silent': waterFault('medium', false),
  'scale-saturated': waterFault('medium', false),
  'scale-noisy': waterFault('medium', false),
  'dose-not-seen': waterFault('high', true),
  'dose-too-large': waterFault('high', true),
  'weight-rising': { ...waterFault('high', true), sounds: true },
  'weight-falling': waterFault('high', true),
  'day-cap-reached': waterFault('medium', false),
  'stage-cap-reached': waterFault('medium', false),
  'reservoir-low': notice('medium'),
  'too-dry': notice('high'),
  'profile-missing': { ...notice('medium'), dropsMat: true, dropsPump: true },
  'calibration-missing': waterFault('medium', false),
  'calibration-old': notice('low'),
  'restarting-often': safety(true, true),
  'storage-failing': notice('high'),
  'pump-stuck-on': safety(false, true),
} as const satisfies Record<string, AlarmSpec>;

export type AlarmName = keyof typeof ALARMS;

/** Names by number: `ALARM_NAMES[n]`. */
export const ALARM_NAMES = Object.keys(ALARMS) as readonly AlarmName[];

/** States of one alarm, letters of IEC 62682 figure 'alarm state transition' in the comments. */
export const ALARM_STATES = [
  'normal', // A
  'unaccepted', // B: present, nobody has seen it
  'accepted', // C: present, a person knows
  'returned', // D: gone again, nobody has seen it
  'latched-unaccepted', // E: gone, holds until cleared, nobody has seen it
  'latched-accepted', // F: gone, holds until cleared, a person knows
] as const;
export type AlarmState = (typeof ALARM_STATES)[number];

/** What can happen to an alarm, as written to the journal. Append only. */
export const ALARM_CHANGES = [
  'raised',
  'accepted',
  'returned',
  'cleared',
  'shelved',
  'unshelved',
] as const;
export type AlarmChange = (typeof ALARM_CHANGES)[number];
