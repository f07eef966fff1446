/** What the programs of the test files do wrong, by file. */
import { CLOCK_WATCH } from './clock-watch';
import { FAULTS } from './faults';
import { FROZEN, FROZEN_TOP } from './frozen';
import { MAT_LOOKS } from './mat-look';
import { NATIVE, NATIVE_IMPORTS } from './native';
import { READINGS } from './readings';
import { SAFETY } from './safety';
import { SECOND_SWITCH } from './second-switch';
import { SLOW_FLASH } from './slow-flash';
import { USB_STANDARD } from './usb-standard';

export const MISDEEDS = {
  'clock-watch': CLOCK_WATCH,
  faults: FAULTS,
  frozen: FROZEN,
  'mat-look': MAT_LOOKS,
  native: NATIVE,
  readings: READINGS,
  safety: SAFETY,
  'second-switch': SECOND_SWITCH,
  'slow-flash': SLOW_FLASH,
  'usb-standard': USB_STANDARD,
} as const;

/** The top of the script that has them all. */
export const MISDEEDS_TOP = `${NATIVE_IMPORTS}${FROZEN_TOP}`;
