/** The weight ledger as the run state keeps it: a row of sizes, g, 0 for none, and one of places in `STEP_KINDS`. Pure. */
import { type Ledger, STEP_KINDS } from './ledger';

/** Puts the ledger into its rows; there are as many places as it may have steps. */
export function keepLedger(ledger: Ledger, stepsG: Float64Array, stepKinds: Uint8Array): void {
  for (let i = 0; i < stepsG.length; i++) {
    const step = ledger[i];
    stepsG[i] = step?.stepG ?? 0;
    stepKinds[i] = step === undefined ? 0 : STEP_KINDS.indexOf(step.kind);
  }
}

/** The ledger of such rows, from before this start: when its steps came, and to what weight, is not known any more. */
export function keptLedger(stepsG: ArrayLike<number>, stepKinds: ArrayLike<number>): Ledger {
  const ledger: Ledger[number][] = [];
  for (let i = 0; i < stepsG.length; i++) {
    const stepG = stepsG[i] ?? 0;
    const kind = STEP_KINDS[stepKinds[i] ?? 0] ?? 'off';
    if (stepG !== 0) ledger.push({ kind, stepG, afterG: Number.NaN, atMs: 0 });
  }
  return ledger;
}
