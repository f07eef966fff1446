/** A scale that cannot be trusted, and water that moves by itself. */
import { SENSING_LIMITS, WEIGHT_LIMITS } from '../limits';
import type { Readings } from '../sensing/readings';
import { condition, type Finding, happened, NOTHING } from './finding';

/** The rise must last, or a hand that only begins would be taken for a leak. */
const RISING_MIN = 2;

/** Watches the scale and the weight. */
export class WeightWatch {
  #lowestG = Number.NaN;
  #risenMin = 0;
  /** The last tick had something to say. */
  #told = true;

  /** Each tick: the scale itself, once it has been calibrated and so belongs to the tray. */
  tick({ scale, uptimeMs }: Readings): readonly Finding[] {
    const { state, code, noiseG, calibrated } = scale;
    const troubled = calibrated && state !== 'ok';
    if (!troubled && !this.#told) return NOTHING;
    this.#told = troubled;
    const started = uptimeMs >= SENSING_LIMITS.scaleStartMs;
    return [
      condition('scale-silent', calibrated && started && state === 'silent', 0, 0),
      condition('scale-saturated', calibrated && state === 'saturated', code, 0),
      condition(
        'scale-noisy',
        calibrated && state === 'noisy',
        noiseG,
        SENSING_LIMITS.scaleNoiseMaxG,
      ),
    ];
  }

  /**
   * Once an undisturbed minute: weights that change without a dose or a hand. `fellG` is what the tray
   * lost in the last ten such minutes, NaN while there are none; freshly soaked it drains, and no fall
   * is judged before it has `drained`.
   */
  minute(trayG: number, fellG: number, drained: boolean): readonly Finding[] {
    this.#lowestG = Number.isNaN(this.#lowestG) ? trayG : Math.min(this.#lowestG, trayG);
    const roseG = trayG - this.#lowestG;
    this.#risenMin = roseG > WEIGHT_LIMITS.risingG ? this.#risenMin + 1 : 0;
    if (this.#risenMin >= RISING_MIN) {
      this.forget();
      return [happened('weight-rising', roseG, WEIGHT_LIMITS.risingG)];
    }
    if (drained && fellG > WEIGHT_LIMITS.fallingG) {
      this.forget();
      return [happened('weight-falling', fellG, WEIGHT_LIMITS.fallingG)];
    }
    return [];
  }

  /** The weight starts a new life (a hand, a dose, soaked, another tray). */
  forget(): void {
    this.#lowestG = Number.NaN;
    this.#risenMin = 0;
  }
}
