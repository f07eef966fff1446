/** Reservoir, peristaltic pump and its tube. */
import { HOUR_MS } from '../../../shared/units/time';

export interface PumpParameters {
  /** Real flow of the fresh, filled tube. Never the nominal one: that is what calibration is for. */
  readonly mlPerS: number;
  /** From switch to flow: motor and rollers, ms at each start. */
  readonly startLagMs: number;
  /** Content of the tube from the reservoir to the tray; it is empty when new. */
  readonly tubeMl: number;
  /** Flow lost to tube wear in the end, share; tubing relaxes most in its first hours. */
  readonly wearShare: number;
  readonly wearHours: number;
  readonly reservoirMl: number;
}

/** Wear of 5..20 % over the tube's life (common practice; no source found). */
export const PUMP: PumpParameters = {
  mlPerS: 1.12,
  startLagMs: 120,
  tubeMl: 5,
  wearShare: 0.12,
  wearHours: 10,
  reservoirMl: 4000,
};

/**
 * flow = q0 (1 - wear (1 - exp(-run / wearHours))). The tube fills before anything leaves it, and
 * empties before anything is missed: after a dry reservoir it must be primed again. Volumes in ml.
 */
export class Pump {
  reservoirMl: number;
  tubeMl = 0;
  /** Time the motor ran, ms. */
  ranMs = 0;
  private lagLeftMs: number;
  private wornMlPerS: number;
  private running = false;

  constructor(private readonly parameters: PumpParameters) {
    this.reservoirMl = parameters.reservoirMl;
    this.lagLeftMs = parameters.startLagMs;
    this.wornMlPerS = parameters.mlPerS;
  }

  /** Flow of the filled tube now, ml/s. */
  get mlPerS(): number {
    return this.wornMlPerS;
  }

  /** Brings the wear up to date; once a minute is plenty. */
  update(): void {
    const { mlPerS, wearShare, wearHours } = this.parameters;
    const runHours = this.ranMs / HOUR_MS;
    this.wornMlPerS = mlPerS * (1 - wearShare * (1 - Math.exp(-runHours / wearHours)));
  }

  /**
   * Runs for the first `onMs` of a step of `stepMs`; returns the ml that leave the tube.
   * `flowShare` is 1 for a sound tube; `dry` means that the tube draws air.
   */
  run(onMs: number, stepMs: number, flowShare: number, dry: boolean): number {
    if (onMs <= 0) {
      this.running = false;
      return 0;
    }
    if (!this.running) this.lagLeftMs = this.parameters.startLagMs;
    const lagMs = Math.min(onMs, this.lagLeftMs);
    this.lagLeftMs -= lagMs;
    this.ranMs += onMs;
    this.running = onMs >= stepMs;
    return this.move(((onMs - lagMs) / 1000) * this.wornMlPerS * flowShare, dry);
  }

  /** Water runs by gravity, whether the pump turns or not; returns the ml that leave the tube. */
  siphon(ml: number, dry: boolean): number {
    return this.move(ml, dry);
  }

  private move(ml: number, dry: boolean): number {
    const drawnMl = dry ? 0 : Math.min(ml, this.reservoirMl);
    this.reservoirMl -= drawnMl;
    this.tubeMl += drawnMl;
    const fullMl = this.parameters.tubeMl;
    const outMl = drawnMl < ml ? Math.min(this.tubeMl, ml) : Math.max(0, this.tubeMl - fullMl);
    this.tubeMl -= outMl;
    return outMl;
  }
}
