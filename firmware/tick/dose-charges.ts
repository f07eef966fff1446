/**
 * What doses take of the caps: charged and written down before the pump starts, given back for what it did not
 * run. Owner of the water account.
 */
import { assert } from '../assert';
import { countsAs, isWithinCaps, type StageWater } from '../control/caps';
import type { DoseEnd, DoseState } from '../control/dose';
import type { Need } from '../control/need';
import { settlement } from '../control/settlement';
import type { Dosing, View } from '../tray/run-state';
import type { Tray } from '../tray/tray';
import { charge, passHours, type WaterAccount } from '../tray/water-account';

/** The charges of one tray. */
export class DoseCharges {
  readonly #account: WaterAccount;
  readonly #dosing: Dosing;
  /** The dose that is charged is the first water of its stage: those that follow it in its cycle are not. */
  #opens = false;
  /** A run by hand is charged and has not ended. */
  #byHand = false;

  constructor(
    readonly tray: Tray,
    account: WaterAccount,
    dosing: Dosing,
  ) {
    this.#account = account;
    this.#dosing = dosing;
  }

  get account(): View<WaterAccount> {
    return this.#account;
  }

  /** What a millilitre counts as in the caps; see `countsAs`. */
  get mlCountsAs(): number {
    return countsAs(this.tray.run.proofs.pumpShare);
  }

  /** The running stage has had the water it opens with. */
  get opened(): boolean {
    return this.#dosing.opened;
  }

  /** The running hold has had its rescue dose. */
  get rescued(): boolean {
    return this.#dosing.rescued;
  }

  /** What the pump is to run for was charged, and has not ended: a dose, or a run by hand. */
  isCharged({ phase }: DoseState): boolean {
    return phase === 'service' ? this.#byHand : this.#dosing.pendingMl !== 0;
  }

  /** Time passes in the account. */
  pass(dtMs: number): void {
    passHours(this.#account, dtMs);
  }

  /**
   * Written down before the pump starts: a power cut can only make the account too careful. False when it
   * cannot be written down: then the dose must not be given, or each cut would open the caps again.
   */
  before(reason: Need, ml: number): boolean {
    const dosing = this.#dosing;
    const { mlCountsAs } = this;
    const { rescued } = dosing;
    const { stage } = this.tray;
    const planned = { reason, ml, stage, rescued, mlCountsAs };
    assert(isWithinCaps(planned, this.#account), 'dose-within-caps');
    charge(this.#account, ml, mlCountsAs);
    dosing.pendingMl = ml;
    if (reason === 'rescue') dosing.rescued = true;
    this.#opens = reason === 'opening' && !this.opened;
    if (this.tray.checkpoint()) return true;
    charge(this.#account, -ml, mlCountsAs);
    Object.assign(this.#dosing, { pendingMl: 0, rescued });
    return false;
  }

  /** A run of the pump by the grower's hand: it counts like any water, the account is about what left the reservoir. */
  beforeRunByHand(ml: number): void {
    charge(this.#account, ml, this.mlCountsAs);
    this.#byHand = true;
    this.#opens = false;
    this.tray.checkpoint();
  }

  /** A dose or a run has ended, by the grower's own stop where `byHand`: its charge is settled. */
  after(dose: DoseEnd, mlPerS: number, byHand: boolean): void {
    this.#dosing.pendingMl = 0;
    this.#byHand = false;
    this.#account.pumpRunMs += dose.ranMs;
    const { backMl, opensAgain } = settlement(dose, this.#opens, mlPerS, byHand);
    if (backMl > 0) charge(this.#account, -backMl, this.mlCountsAs);
    if (this.#opens && !opensAgain) this.#dosing.opened = true;
    this.#opens = false;
  }

  /** The reservoir was filled: what was used of it counts anew. */
  refilled(): void {
    this.#account.usedMl = 0;
  }

  /** The pump was calibrated: its run time counts anew. */
  pumpCalibrated(): void {
    this.#account.pumpRunMs = 0;
  }

  /** Another stage: its own water, its own rescue and opening. */
  stageBegins(): void {
    // A dose under way was the last stage's.
    this.#opens = false;
    this.restore({ stageMl: 0, rescued: false, opened: false });
  }

  /** What `stageBegins` changes, to go back to with `restore`. */
  saved(): StageWater {
    const { rescued, opened } = this.#dosing;
    return { stageMl: this.#account.stageMl, rescued, opened };
  }

  restore({ stageMl, rescued, opened }: StageWater): void {
    this.#account.stageMl = stageMl;
    Object.assign(this.#dosing, { rescued, opened });
  }
}
