/** Guard, rows six and seven: a scale that cannot be trusted, and water that moves by itself. */
import { isHandled } from '../control/weight';
import { SENSING_LIMITS, WEIGHT_LIMITS } from '../limits';
import type { Tray } from '../tray/tray';
import { MinuteHistory } from './history';

const FALLING_MIN = WEIGHT_LIMITS.fallingMs / 60_000;
/** The rise must last, or a hand that only begins would be taken for a leak. */
const RISING_MIN = 2;

/** Watches the scale and the weight. */
export class WeightWatch {
  readonly #history = new MinuteHistory(FALLING_MIN + 1);
  #lowestG = Number.NaN;
  #risenMin = 0;

  constructor(readonly tray: Tray) {}

  /** Each tick: the scale itself, once it has been calibrated and so belongs to the tray. */
  tick(uptimeMs: number): void {
    const { alarms, scale } = this.tray;
    const inUse = scale.calibration !== null;
    const { state, code, noiseG } = scale;
    const started = uptimeMs >= SENSING_LIMITS.scaleSilentMs * 2;
    alarms.set('scale-silent', inUse && started && state === 'silent', uptimeMs, 0, 0);
    alarms.set('scale-saturated', inUse && state === 'saturated', uptimeMs, code, 0);
    const limitG = SENSING_LIMITS.scaleStableG;
    alarms.set('scale-noisy', inUse && state === 'noisy', uptimeMs, noiseG, limitG);
  }

  /** Once a minute: weights that change without a dose or a hand. */
  minute(uptimeMs: number): void {
    const { scale, weight, water, trayG, run } = this.tray;
    const undisturbed =
      scale.state === 'ok' && water.phase === 'idle' && !isHandled(weight) && !Number.isNaN(trayG);
    if (!undisturbed) {
      this.forget();
      return;
    }
    this.#history.push(trayG);
    this.#lowestG = Number.isNaN(this.#lowestG) ? trayG : Math.min(this.#lowestG, trayG);
    const roseG = trayG - this.#lowestG;
    this.#risenMin = roseG > WEIGHT_LIMITS.risingG ? this.#risenMin + 1 : 0;
    if (this.#risenMin >= RISING_MIN) {
      this.tray.alarms.strike('weight-rising', uptimeMs, roseG, WEIGHT_LIMITS.risingG);
      this.forget();
      return;
    }
    const fellG = this.#history.ago(FALLING_MIN) - trayG;
    if (!Number.isNaN(fellG)) this.tray.dryingGPerMs = Math.max(0, fellG) / WEIGHT_LIMITS.fallingMs;
    const drained = run.sinceSoakedMs >= WEIGHT_LIMITS.drainMs;
    if (drained && fellG > WEIGHT_LIMITS.fallingG) {
      this.tray.alarms.strike('weight-falling', uptimeMs, fellG, WEIGHT_LIMITS.fallingG);
      this.forget();
    }
  }

  /** The weight starts a new life (soaked, refilled, another tray). */
  forget(): void {
    this.#history.clear();
    this.#lowestG = Number.NaN;
    this.#risenMin = 0;
  }
}
