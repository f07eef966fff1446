/**
 * Every alarm the guard knows: its number and what it holds off. How urgent each is: `priority.ts`; words for
 * the grower are the host's (`advice/`). States follow IEC 62682 / ISA-18.2.
 */

export interface AlarmSpec {
  /** Latched: stays until a person clears it, even when the condition has gone. */
  readonly latched: boolean;
  /** While present (or latched) the mat stays off. */
  readonly dropsMat: boolean;
  /** While present (or latched) no dose is started, and a running one stops. */
  readonly dropsPump: boolean;
  /** Sounds until a person accepts or shelves it. */
  readonly sounds: boolean;
}

const NOTICE: AlarmSpec = { latched: false, dropsMat: false, dropsPump: false, sounds: false };
const HEAT: AlarmSpec = { latched: true, dropsMat: true, dropsPump: false, sounds: true };
const WATER: AlarmSpec = { ...NOTICE, dropsPump: true };
const LATCHED_WATER: AlarmSpec = { ...WATER, latched: true };

/** In order of their number in the journal: append only. */
export const ALARMS = {
  'probe-open': HEAT,
  'probe-short': HEAT,
  'probe-frozen': HEAT,
  'probe-jumped': HEAT,
  'mat-probe-failed': HEAT,
  'root-zone-hot': HEAT,
  'mat-hot': HEAT,
  'mat-no-effect': NOTICE,
  'probe-suspect': HEAT,
  'band-out-of-reach': NOTICE,
  'mat-stuck-on': HEAT,
  'scale-silent': WATER,
  'scale-saturated': WATER,
  'scale-noisy': WATER,
  'dose-not-seen': LATCHED_WATER,
  'dose-too-large': LATCHED_WATER,
  'weight-rising': { ...LATCHED_WATER, sounds: true },
  'weight-falling': LATCHED_WATER,
  'day-cap-reached': WATER,
  'stage-cap-reached': WATER,
  'reservoir-low': NOTICE,
  'too-dry': NOTICE,
  'profile-missing': { ...WATER, dropsMat: true },
  'calibration-missing': WATER,
  'calibration-old': NOTICE,
  'restarting-often': { ...HEAT, dropsPump: true },
  'storage-failing': NOTICE,
  'pump-stuck-on': { ...LATCHED_WATER, sounds: true },
  'too-warm': NOTICE,
  'too-cold': NOTICE,
  'tray-away': NOTICE,
  'thing-on-tray': NOTICE,
  'water-held': NOTICE,
  'feed-late': NOTICE,
  'drying-fast': NOTICE,
  'feed-unlike': NOTICE,
  'drying-stopped': NOTICE,
  'pump-off': NOTICE,
  'supply-wrong': { ...NOTICE, sounds: true },
  // Until somebody has said that the board knows its tray again: what is left of it may be wrong as well.
  'settings-lost': { ...HEAT, dropsPump: true },
  // The mat is asked for all the same: only so is it seen to be whole again.
  'mat-open': { ...NOTICE, sounds: true },
} as const satisfies Record<string, AlarmSpec>;

export type AlarmName = keyof typeof ALARMS;

/** Names by number: `ALARM_NAMES[n]`. */
export const ALARM_NAMES = Object.keys(ALARMS) as readonly AlarmName[];

/** States of one alarm; the letters are those of IEC 62682 figure 'alarm state transition'. */
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
