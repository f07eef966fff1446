/** A root zone over a mat, minute by minute, under a watch. */
import type { Finding } from '../../firmware/guard/finding';
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { type HeatWish, MatWatch } from '../../firmware/guard/mat-watch';
import { MINUTE_MS } from '../../shared/units/time';
import { found } from './findings';
import { readings } from './readings';

export const BAND = { lowC: 26, highC: 27 };
export const EFFECT_MIN = GUARD_LIMITS.effectMs / MINUTE_MS;
export const REACH_MIN = GUARD_LIMITS.reachMs / MINUTE_MS;
export const STUCK_MIN = GUARD_LIMITS.stuckMs / MINUTE_MS;

/** A root zone and a mat, minute by minute, under a mat that is on or off. */
export class Course {
  readonly #watch = new MatWatch();
  #minute = 0;
  #sinceMinute = 0;
  #on = false;
  readonly all: Finding[] = [];

  get on(): boolean {
    return this.#on;
  }

  /** Since it was switched last, minutes. */
  get lastsMin(): number {
    return this.#minute - this.#sinceMinute;
  }

  switch(on: boolean): void {
    this.#on = on;
    this.#sinceMinute = this.#minute;
  }

  /** `minutes` more, the root zone moving evenly from `fromC` to `toC`; what the last one found. */
  pass(
    minutes: number,
    fromC: number,
    toC: number,
    {
      matOverK = 5,
      doubtful = false,
      addedK = 0,
      band = BAND as HeatWish['band'],
      handsNear = false,
      cutOff = false,
    } = {},
  ): readonly Finding[] {
    let last: readonly Finding[] = [];
    for (let i = 1; i <= minutes; i++) {
      this.#minute++;
      const celsius = fromC + ((toC - fromC) * i) / minutes;
      last = this.#watch.minute(
        readings({
          uptimeMs: this.#minute * MINUTE_MS,
          rootZone: { celsius, doubtful, addedK },
          mat: { celsius: celsius + matOverK },
        }),
        { heat: { on: this.#on, sinceMs: this.#sinceMinute * MINUTE_MS }, band },
        { handsNear, cutOff },
      );
      this.all.push(...last);
    }
    return last;
  }

  get found(): string[] {
    return [...new Set(found(this.all))];
  }
}
