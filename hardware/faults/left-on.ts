/**
 * Single faults after which an output may stay on, and what then stands between them and harm. What is not in
 * this list must not happen: `tests/hardware/single-faults.test.ts`.
 */

const MAT = 'fuse, thermal cut-out and the size of the mat; alarm mat-stuck-on';
const PUMP = 'the drip tray holds the whole reservoir; alarms pump-stuck-on, weight-rising';

export const LEFT_ON: Readonly<Record<string, string>> = {
  'A1 GP16 stuck high': MAT,
  'Q1 G open': MAT,
  'Q1 G to D shorted': MAT,
  'Q1 D to S shorted': MAT,
  'A1 GP17 stuck high': PUMP,
  'Q2 G open': PUMP,
  'Q2 G to D shorted': PUMP,
  'Q2 D to S shorted': PUMP,
};
