/**
 * Single faults after which an output stays on with nothing leased: none. Behind them the faults that let the pump
 * run while the mat heats, because both hang on one second switch. What is in neither list must not happen:
 * `tests/hardware/single-faults.test.ts`.
 */
export const LEFT_ON: readonly string[] = [];

const PUMP =
  'alarm pump-stuck-on takes the mat off as well: the second switch opens; the drip tray holds the whole reservoir';

export const WHILE_HEATING: Readonly<Record<string, string>> = {
  'A1 GP17 stuck high': PUMP,
  'A1 GP16 to GP17 shorted': PUMP,
  'Q2 G open': PUMP,
  'Q2 G to D shorted': PUMP,
  'Q2 D to S shorted': PUMP,
};
