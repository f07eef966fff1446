/**
 * What doses take of the caps: charged and written down before the pump starts, given back for what it did not
 * run. Owner of the water account.
 */
import { assert } from '../assert';
import { countsAs, fullCaps } from '../control/caps';
import type { DoseEnd } from '../control/dose';
import type { Need } from '../control/need';
import { WATER_LIMITS } from '../limits';
import type { Dosing } from '../tray/run-state';
import type { Tray } from '../tray/tray';
import { charge, passHours, type WaterAccount } from '../tray/water-account';

/** What is counted by stage. */
export interface StageWater {
  readonly stageMl: number;
  readonly rescued: boolean;
  readonly opened: number;
}

/** The charges of one tray. */
export class DoseCharges {
  readonly #account: WaterAccount;
  readonly #dosing: Dosing;

  constructor(
    readonly tray: Tray,
    account: WaterAccount,
    dosing: Dosing,
  ) {
    this.#account = account;
    this.#dosing = dosing;
  }

  get account(): Readonly<WaterAccount> {
    return this.#account;
  }

  /** What a millilitre counts as in the caps; see `countsAs`. */
  get mlCountsAs(): number {
    return countsAs(this.#dosing.pumpShare);
  }

  /** The running stage has had the water it opens with. */
  get opened(): boolean {
    return this.#dosing.opened !== 0;
  }

  /** A dose was charged and has not ended. */
  get pending(): boolean {
    return this.#dosing.pendingMl !== 0;
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
    const { rescued, opened } = dosing;
    assert(this.#isWithinCaps(reason, ml), 'dose-within-caps');
    charge(this.#account, ml, mlCountsAs);
    dosing.pendingMl = ml;
    if (reason === 'rescue') dosing.rescued = true;
    if (reason === 'opening') dosing.opened = 1;
    if (this.tray.checkpoint()) return true;
    charge(this.#account, -ml, mlCountsAs);
    Object.assign(dosing, { pendingMl: 0, rescued, opened });
    return false;
  }

  /** A run of the pump by the grower's hand: it counts like any water, the account is about what left the reservoir. */
  beforeRunByHand(ml: number): void {
    charge(this.#account, ml, this.mlCountsAs);
    this.tray.checkpoint();
  }

  /**
   * A dose or a run has ended. What the pump did not run is given back; and an opening that did not arrive, or
   * that a hand or an alarm cut short before half of it had come, is still to be given. One the grower stopped
   * (`byHand`) is not.
   */
  after({ reason, verdict, plannedMl, ranMs }: DoseEnd, mlPerS: number, byHand: boolean): void {
    const account = this.#account;
    this.#dosing.pendingMl = 0;
    account.pumpRunMs += ranMs;
    if (reason === 'opening' && verdict === 'not-seen') this.#dosing.opened = 0;
    if (verdict !== 'stopped' && verdict !== 'handled') return;
    const pumpedMl = (ranMs / 1000) * mlPerS;
    if (pumpedMl < plannedMl) charge(account, pumpedMl - plannedMl, this.mlCountsAs);
    const isShort = pumpedMl < plannedMl * WATER_LIMITS.lastDoseMinShare;
    if (reason === 'opening' && isShort && !byHand) this.#dosing.opened = 0;
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
    this.restore({ stageMl: 0, rescued: false, opened: 0 });
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

  /** A rescue dose has a measure of its own, given once; every other dose keeps to the caps. */
  #isWithinCaps(reason: Need, ml: number): boolean {
    const { stage } = this.tray;
    if (stage === null) return false;
    if (reason === 'rescue') return ml <= stage.rescue.doseMl && !this.#dosing.rescued;
    if (stage.watering === null) return false;
    const full = fullCaps(ml * this.mlCountsAs, stage.watering, this.#account);
    return !full.day && !full.stage;
  }
}
