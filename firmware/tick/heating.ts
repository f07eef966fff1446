/** The heat part of a tick: the band in force, what holds the mat off, and its lease. */
import type { HeldBy } from '../../shared/link/held';
import type { Band } from '../../shared/profile/profile';
import { bandNow, heatingBand, isTriedByHand } from '../control/band';
import { type HeatState, nextHeat, offSince } from '../control/heat';
import { heatHeldBy } from '../control/interlock';
import { HEAT_LIMITS } from '../limits';
import type { Readings } from '../sensing/readings';
import type { Tray } from '../tray/tray';

/** Bottom heat of one tray. */
export class Heating {
  #heat: HeatState;
  #heldBy: HeldBy | null = null;
  /** Uptime, ms: until then the mat is tried by hand. */
  #byHandUntilMs = 0;
  /** The guard has the mat rest. */
  #rests = false;

  constructor(readonly tray: Tray) {
    this.#heat = offSince(tray.uptimeMs);
  }

  get heat(): HeatState {
    return this.#heat;
  }

  /** The band in force now: day, night, or none. Between two ticks too, a stage may have begun by hand. */
  get band(): Band | null {
    const { tray } = this;
    return bandNow(tray.stage, tray.profile?.night ?? null, tray.minuteOfDay);
  }

  /** Why the mat is held off; null when it is free. */
  get heldBy(): HeldBy | null {
    return this.#heldBy;
  }

  get isByHand(): boolean {
    return isTriedByHand(this.tray.stage, this.#byHandUntilMs, this.tray.uptimeMs);
  }

  /** Tries the mat for so long; 0 ends it. Only while no crop stands, and no longer than that. */
  byHand(ms: number): void {
    this.#byHandUntilMs = this.tray.uptimeMs + ms;
  }

  /** Whether the mat has to rest from the next tick on: what it cools down to tells how warm the tray is. */
  rest(rests: boolean): void {
    this.#rests = rests;
  }

  /** One tick: decides, and gives the mat its lease. */
  tick(readings: Readings): void {
    const { tray } = this;
    const { rootZone, mat, uptimeMs } = readings;
    const { isByHand } = this;
    this.#heldBy = heatHeldBy({
      alarm: tray.alarms.matHeldBy,
      sown: tray.stage !== null,
      byHand: isByHand,
      away: readings.away,
      probesSound: !rootZone.doubtful && !Number.isNaN(mat.celsius),
      rests: this.#rests,
    });
    this.#heat = nextHeat(
      this.#heat,
      rootZone.celsius,
      uptimeMs,
      this.#heldBy !== null,
      heatingBand(this.band, isByHand),
      HEAT_LIMITS,
    );
    tray.board.leaseMat(this.#heat.on ? HEAT_LIMITS.leaseMs : 0);
  }
}
