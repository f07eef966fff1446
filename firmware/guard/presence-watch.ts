/** A tray that is not where it belongs, and things that stand on it. Judged once a minute. */

import type { Readings } from '../sensing/readings';
import { condition, type Finding } from './finding';
import { GUARD_LIMITS as LIMITS } from './limits';

/** Watches what stands on the scale. */
export class PresenceWatch {
  #awayMs = 0;
  #thingMs = 0;

  /** Once a minute, `dtMs` after the last. `thingG` stands on the tray, or may, 0 for nothing. */
  minute(readings: Readings, sown: boolean, thingG: number, dtMs: number): readonly Finding[] {
    const { away, scale } = readings;
    this.#awayMs = sown && away ? this.#awayMs + dtMs : 0;
    this.#thingMs = sown && thingG > 0 ? this.#thingMs + dtMs : 0;
    return [
      condition('tray-away', this.#awayMs >= LIMITS.trayOffMs, scale.grams),
      condition('thing-on-tray', this.#thingMs >= LIMITS.thingOnMs, thingG),
    ];
  }
}
