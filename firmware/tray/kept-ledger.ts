/** The weight ledger as the run state keeps it: flat, of fixed length. */
import { foreignG, type Ledger, STEP_KINDS } from '../control/ledger';
import type { KnownWeights } from './run-state';

/** Writes the open steps to what survives a power cut. */
export function keepLedger(ledger: Ledger, known: KnownWeights): void {
  known.shiftG = foreignG(ledger);
  for (let i = 0; i < known.stepsG.length; i++) {
    const step = ledger[i];
    known.stepsG[i] = step?.stepG ?? 0;
    known.stepKinds[i] = step === undefined ? 0 : STEP_KINDS.indexOf(step.kind);
  }
}

/** The open steps as they were kept; when and at which weight each ended is not. */
export function keptLedger({ stepsG, stepKinds }: KnownWeights): Ledger {
  const ledger: Ledger[number][] = [];
  stepsG.forEach((stepG, i) => {
    const kind = STEP_KINDS[stepKinds[i] ?? 0] ?? 'off';
    if (stepG !== 0) ledger.push({ kind, stepG, afterG: Number.NaN, atMs: 0 });
  });
  return ledger;
}
