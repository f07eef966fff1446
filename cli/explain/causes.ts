/** Everything that can be the cause of an incident: what it is called, and which alarm has the steps against it. */
import type { AlarmName } from '../../shared/alarms/catalogue';

interface CauseWords {
  /** Inside a sentence: "the power was out". */
  readonly says: string;
  /** Whose `next` tells what to do; null where there is no such alarm. */
  readonly steps: AlarmName | null;
  /** What to do about this cause, where the steps of the alarm are those of another. */
  readonly own?: readonly string[];
  /** While it lasts it does more harm by the hour and the controller cannot stop it: hands are wanted at once. */
  readonly runsOn?: true;
  /** What is left to do when it is over. */
  readonly after?: readonly string[];
}

const WORDS = {
  'power-out': {
    says: 'the power was out',
    steps: null,
    after: [
      'Find what cut the power before it does so again: plug, fuse, residual-current device.',
    ],
  },
  'image-awaited': {
    says: 'the board showed its boot drive, and waited there for its image',
    steps: null,
    after: [
      'Stay beside the next update until the board answers again: nothing is held meanwhile.',
    ],
  },
  'controller-hung': {
    says: 'the controller hung, and started again and again',
    steps: 'restarting-often',
  },
  'supply-weak': { says: 'the supply voltage was too low', steps: 'restarting-often' },
  'program-error': { says: 'an error in the program', steps: 'restarting-often' },
  'probe-open': {
    says: 'a wire of the root-zone probe is broken, or its plug is out',
    steps: 'probe-open',
  },
  'probe-short': { says: 'the root-zone probe is shorted', steps: 'probe-short' },
  'probe-stuck': { says: 'the root-zone probe stood still', steps: 'probe-frozen' },
  'probe-out': { says: 'the root-zone probe was out of its plug', steps: 'probe-jumped' },
  'mat-probe-open': {
    says: 'a wire of the mat probe is broken, or its plug is out',
    steps: 'mat-probe-failed',
  },
  'mat-probe-short': { says: 'the mat probe is shorted', steps: 'mat-probe-failed' },
  'mat-probe-stuck': { says: 'the mat probe stood still', steps: 'mat-probe-failed' },
  'mat-dead': {
    says: 'the mat gave no heat',
    steps: 'mat-no-effect',
    after: [
      'It heats again and nobody has mended it: check its plug and connector with the mains off, or it will do so again.',
    ],
  },
  'mat-lead': {
    says: 'the lead of the mat was open: its plug, its cut-out, or the mat itself',
    steps: 'mat-open',
    own: [
      'See that the plug of the mat is in.',
      'Unplug the supply, then see the cut-out TC1 (it opens once, by heat, and is replaced when the cause has been found), the cable and the mat.',
    ],
  },
  'mat-cut-out': {
    says: 'the cut-out of the mat had opened: its lead was open, and the mat had been hot',
    steps: 'mat-open',
    own: [
      'Unplug the supply and find out why the mat got so hot, before it is used again.',
      'Then replace the cut-out TC1: it opens once.',
    ],
  },
  'mat-fuse': {
    says: 'the fuse of the mat had blown, or was not in',
    steps: 'mat-open',
    own: [
      'Unplug the supply, find out why F2 has blown (a crushed cable, a wet plug), and fit one of the same rating.',
    ],
  },
  'mat-stuck-on': { says: 'the mat did not switch off', steps: 'mat-stuck-on', runsOn: true },
  'mat-switch': {
    says: 'the own switch of the mat did not open; the second one did',
    steps: 'mat-stuck-on',
    own: [
      'Unplug the supply, and have Q1 and the lead of the mat looked at before it is used again: nothing but the second switch stands behind it.',
    ],
  },
  'mat-switch-open': {
    says: 'the own switch of the mat did not close',
    steps: 'mat-open',
    own: ['Unplug the supply, then see the wire from the controller to Q1, and Q1 itself.'],
  },
  'second-switch': {
    says: 'the second switch of the mat or of the pump did not open',
    steps: 'supply-wrong',
  },
  'supply-dead': { says: 'the supply of mat and pump was dead', steps: 'supply-wrong' },
  'mat-weak': { says: 'the room was too cold for this mat', steps: 'band-out-of-reach' },
  'warm-room': { says: 'a warm room, or the lamp over the tray', steps: 'too-warm' },
  sun: { says: 'sun on the tray', steps: 'too-warm' },
  'cold-water': { says: 'cold water on the tray', steps: 'too-cold' },
  'lid-open': { says: 'the lid was off, or its vents open', steps: 'drying-fast' },
  'lid-broken': { says: 'the lid is broken, or does not close', steps: 'drying-fast' },
  'moving-air': { says: 'a fan or heater blew on the tray', steps: 'drying-fast' },
  'tube-off': { says: 'the tube was off the pump, or out of the tray', steps: 'dose-not-seen' },
  'reservoir-empty': { says: 'the reservoir was empty', steps: 'dose-not-seen' },
  'tube-worn': {
    says: 'the pump gave too little: tube worn or squeezed, or air in it',
    steps: 'dose-not-seen',
  },
  'pump-dead': { says: 'the pump did not turn', steps: 'dose-not-seen' },
  'hands-at-dose': {
    says: 'hands were on the tray while it was weighed',
    steps: 'dose-not-seen',
  },
  leak: { says: 'the tray leaked', steps: 'weight-falling', runsOn: true },
  wick: {
    says: 'a cloth or matting over the rim drew the wool dry',
    steps: 'weight-falling',
    runsOn: true,
    own: [
      'Take off the cloth, or lay the matting back inside the rim; wipe up what has run out, and keep away from wet mains plugs.',
    ],
  },
  siphon: {
    says: 'water ran in by itself through the tube',
    steps: 'weight-rising',
    runsOn: true,
  },
  'pump-stuck-on': {
    says: 'the pump did not switch off',
    steps: 'pump-stuck-on',
    runsOn: true,
  },
  'hand-water': { says: 'somebody watered by hand', steps: 'dose-too-large' },
  'scale-unplugged': { says: 'the scale was cut off', steps: 'scale-silent' },
  'scale-saturated': { says: 'the scale was at the end of its range', steps: 'scale-saturated' },
  'scale-noisy': { says: 'the scale trembled', steps: 'scale-noisy' },
  'tray-lifted': { says: 'the tray was off the scale', steps: 'tray-away' },
  'thing-on-tray': { says: 'something stood on the tray', steps: 'thing-on-tray' },
  'not-told': { says: 'the journal does not say why', steps: null },
} as const satisfies Readonly<Record<string, CauseWords>>;

export type CauseName = keyof typeof WORDS;
export const CAUSES: Readonly<Record<CauseName, CauseWords>> = WORDS;
export const CAUSE_NAMES = Object.keys(WORDS) as readonly CauseName[];
