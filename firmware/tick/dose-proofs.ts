/** What the scale has said of doses, and what that teaches of the pump. Owner of what is remembered of it. */
import { gFromMl, USUAL_WATER_C } from '../../shared/physics/water';
import type { DoseEnd } from '../control/dose';
import { isMoreThanDries } from '../control/drying';
import { nextProof, ranOffStill } from '../control/proof';
import { nextPumpTrim } from '../control/pump-trim';
import type { ScaleSense } from '../sensing/scale';
import type { Proofs, View } from '../tray/run-state';
import type { Tray } from '../tray/tray';
import type { Weights } from './weights';

/** Density of the feed, g/ml. */
export const G_PER_ML = gFromMl(1, USUAL_WATER_C);

/** The proofs of one tray's doses. */
export class DoseProofs {
  readonly #proofs: Proofs;
  /** What was taken for things at the last tick, g. */
  #thingsG: number;

  constructor(
    readonly tray: Tray,
    proofs: Proofs,
  ) {
    this.#proofs = proofs;
    this.#thingsG = tray.run.weights.shiftG;
  }

  get proofs(): View<Proofs> {
    return this.#proofs;
  }

  /** What is taken for things now, g: a dose that ran off beside others is no doubt any more. */
  noteThings(thingsG: number): void {
    const ranOff = ranOffStill(this.#proofs.ranOff, this.#thingsG, thingsG);
    this.#thingsG = thingsG;
    if (ranOff === this.#proofs.ranOff) return;
    this.#proofs.ranOff = ranOff;
    this.tray.touch();
  }

  /** A dose has ended: what its verdict means for the next, and whether it is an alarm. */
  ended(dose: DoseEnd, byHand: boolean): void {
    const { alarms, uptimeMs } = this.tray;
    const proofs = this.#proofs;
    const proof = nextProof(proofs, dose, byHand);
    ({ unproved: proofs.unproved, ranOff: proofs.ranOff } = proof);
    if (proof.alarm === null) return;
    alarms.strike(proof.alarm, uptimeMs, dose.gainedG, dose.plannedMl * G_PER_ML);
  }

  /**
   * Of a dose that was seen. While more is lost than dries nobody knows how much of it came: that may have ended meanwhile.
   */
  learnPump({ plannedMl, gainedG, driedG }: DoseEnd, scale: ScaleSense, weights: Weights): void {
    if (isMoreThanDries(weights.drying)) return;
    const proofs = this.#proofs;
    const before = { share: proofs.pumpShare, scatter: proofs.pumpScatter };
    const trim = nextPumpTrim(before, plannedMl * G_PER_ML, gainedG, driedG, scale.noiseG);
    proofs.pumpShare = trim.share;
    proofs.pumpScatter = trim.scatter;
  }

  /** The pump was calibrated: what its doses taught of it was of another calibration. */
  pumpCalibrated(): void {
    this.#proofs.pumpShare = 1;
    this.#proofs.pumpScatter = 0;
    this.tray.touch();
  }
}
