/** Programs that say what they read. */
import type { Misdeeds } from '../misdeed';

export const READINGS = {
  'reads a probe': { tick: 'say(board.readProbe(0));' },
  'reads the scale': { tick: 'say(board.readScale());' },
} as const satisfies Misdeeds;
