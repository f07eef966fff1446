/** Why nothing can be told of a tray's days ahead, and what to do about it. */
import type { NoPlace } from '../forecast/place';
import { nextStep } from '../words/next-steps';

export const WHY_NOT: Readonly<Record<NoPlace, readonly [why: string, next: string]>> = {
  'no-readings': [
    'The journal has no readings yet.',
    'There is one every five minutes: wait for it, or do `trayward journal pull`.',
  ],
  'not-sown': ['The tray is not sown: nothing depends on it yet.', nextStep('not-sown')],
  'profile-unknown': [
    'The profile that the tray is held by is not kept here.',
    '`trayward journal pull` fetches it with the journal.',
  ],
  'capacity-unknown': [
    'What the tray weighs when it is full and when it is dry is not known.',
    'Soak it, let it drain, then `trayward mark soaked`.',
  ],
  'weight-unknown': [
    'There was no weight of the tray in the last hours.',
    '`trayward scale check` shows what the scale sees.',
  ],
};
