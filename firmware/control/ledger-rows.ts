/**
 * The weight ledger as the run state keeps it: a row of sizes, g, 0 for none, one of places in `STEP_KINDS`, which of them
 * are water that was no thing, what came back with one of them, and of the last step what may still show what it was. Pure.
 */
import { FOUND_ANYHOW, hasPoured, type Ledger, STEP_KINDS, type Step } from './ledger';

/**
 * Place of a thing that was found, after all kinds there may be; by how much it may be off is not kept. Older firmware counts
 * it among the things as well.
 */
const FOUND_PLACE = 255;
/** The same of what came with water and ran off in part: it may go as a thing. */
const RAN_OFF_PLACE = 254;

/** Of the last step: of those before it the weight tells nothing more. */
export interface LastStep {
  /** Weight as read when it was over, g; NaN where nobody knows, or where it came gently and that tells nothing. */
  readonly stepAfterG: number;
  /** Run time of the controller then, ms. */
  readonly stepAtRunMs: number;
}

/** Of the youngest step with which something came back that was off before: it may go again with that. */
export interface CameBack {
  /** What it weighs, as it seemed, g; 0 where nothing came back. */
  readonly paidG: number;
  /** The place of that step in the rows. */
  readonly paidPlace: number;
}

export interface LedgerRows extends LastStep, CameBack {
  readonly stepsG: ArrayLike<number>;
  readonly stepKinds: ArrayLike<number>;
  /** As `bitsOf` returns it: the water that was no thing. */
  readonly ownWater: number;
}

/** Puts the ledger into its rows; there are as many places as it may have steps. */
export function keepLedger(ledger: Ledger, stepsG: Float64Array, stepKinds: Uint8Array): void {
  for (let i = 0; i < stepsG.length; i++) {
    const step = ledger[i];
    stepsG[i] = step?.stepG ?? 0;
    stepKinds[i] = step === undefined ? 0 : placeOf(step);
  }
}

function placeOf({ kind, found, ranOff }: Step): number {
  if (kind === 'water' && ranOff) return RAN_OFF_PLACE;
  return kind === 'on' && found ? FOUND_PLACE : STEP_KINDS.indexOf(kind);
}

/** What stood at a place, as far as that tells; `own`: it was surely no thing. */
function placed(place: number, own: boolean): Pick<Step, 'kind' | 'found' | 'flowed' | 'ranOff'> {
  if (place === FOUND_PLACE) return { kind: 'on', found: FOUND_ANYHOW };
  if (place === RAN_OFF_PLACE)
    return { kind: 'water', flowed: true, ...(!own && { ranOff: true }) };
  return { kind: STEP_KINDS[place] ?? 'off', ...(own && { flowed: true }) };
}

/** Which of the ledger are among `steps`: a bit for each, the first the lowest. */
export const bitsOf = (ledger: Ledger, steps: Ledger): number =>
  ledger.reduce((bits, step, i) => (steps.includes(step) ? bits | (1 << i) : bits), 0);

/** Its last step, in a boot that began at `runAtZeroMs` of run time. */
export function lastStep(ledger: Ledger, runAtZeroMs: number): LastStep {
  const last = ledger[ledger.length - 1];
  return {
    stepAfterG: last === undefined || last.flowed ? Number.NaN : last.afterG,
    stepAtRunMs: runAtZeroMs + (last?.atMs ?? 0),
  };
}

/** The youngest step of it that knows what came back with it. */
export function lastCameBack(ledger: Ledger): CameBack {
  const none: CameBack = { paidG: 0, paidPlace: 0 };
  return ledger.reduce((last, { paidG }, i) => (paidG ? { paidG, paidPlace: i } : last), none);
}

/**
 * The ledger of such rows, in the boot after, that began at `runAtZeroMs` of run time. When its steps came, and to what
 * weight, is not known any more, but of the last: so long before uptime 0.
 */
export function keptLedger(
  { stepsG, stepKinds, ownWater, stepAfterG, stepAtRunMs, paidG, paidPlace }: LedgerRows,
  runAtZeroMs: number,
): Ledger {
  const steps: Step[] = [];
  for (let i = 0; i < stepsG.length; i++) {
    const stepG = stepsG[i] ?? 0;
    if (stepG === 0) continue;
    const own = (ownWater & (1 << i)) !== 0;
    const isPaid = i === paidPlace && paidG > 0;
    const step = { stepG, afterG: Number.NaN, atMs: 0, ...(isPaid && { paidG }) };
    steps.push({ ...step, ...placed(stepKinds[i] ?? 0, own) });
  }
  const last = steps.pop();
  if (last === undefined) return steps;
  return [...steps, { ...last, afterG: stepAfterG, atMs: stepAtRunMs - runAtZeroMs }];
}

/**
 * Weight as read when the last step was over, g, as far as it tells anything after a time of which nobody knows how long it was:
 * what passed for water, and stands above what the wool holds, had the longer to run off. NaN where the tray may have dried by it.
 */
export function toldAfterG(rows: LedgerRows): number {
  const last = keptLedger(rows, 0).at(-1);
  return last !== undefined && hasPoured(last) ? last.afterG : Number.NaN;
}
