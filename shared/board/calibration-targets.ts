/** What can be calibrated, as the journal numbers it. */
import { PROBES, type ProbeFields, probeFields } from './probes';

/** Numbers that no probe has. A number is never given twice, and the next one follows the highest. */
const OTHERS = { scale: 0, 'scale-zero': 1, pump: 4 } as const;

export type CalibrationTarget = keyof typeof OTHERS | keyof ProbeFields<'target', number>;

const NUMBERS: Readonly<Record<CalibrationTarget, number>> = {
  ...OTHERS,
  ...probeFields('target', (name) => PROBES[name].targetNumber),
};

// Sound: these are its keys.
const TARGETS = Object.keys(NUMBERS) as CalibrationTarget[];
/** In the order of their numbers, which is on flash. */
export const CALIBRATION_TARGETS: readonly CalibrationTarget[] = TARGETS.sort(
  (a, b) => NUMBERS[a] - NUMBERS[b],
);
