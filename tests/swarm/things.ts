/** Things on the tray of which no scale can tell what they are: those that pass for water, and those that came unseen. */
import type { FaultName } from '../../firmware/bench/faults';
import type { AlarmName } from '../../shared/alarms/catalogue';
import { PROMISES } from './promises';

/** Things on the tray when it was looked at last, g; and those that weigh what may be poured on it, so no scale can tell. */
export interface Things {
  readonly g: number;
  readonly asWaterG: number;
}
export const NO_THINGS: Things = { g: 0, asWaterG: 0 };

/** What comes to things of `g` is water if it leaves the tray, seen with so much water, no fuller than wool may be. */
export function nextThings(
  before: Things,
  g: number,
  seenWith: (asWaterG: number) => number,
): Things {
  if (g <= before.g) return { g, asWaterG: Math.min(before.asWaterG, g) };
  const asWaterG = before.asWaterG + g - before.g;
  const passes = seenWith(asWaterG) > -PROMISES.overfullShare;
  return { g, asWaterG: passes ? asWaterG : before.asWaterG };
}

/** Meanwhile no scale says a weight; one that trembles does, if not a sharp one. */
export const NO_WEIGHT: readonly FaultName[] = ['scale-unplugged', 'scale-saturated'];

/** With such a thing on the tray this says so as well: to take it off is what helps, and tells what it weighs. */
export const SAYS_THING: readonly AlarmName[] = ['thing-on-tray'];

/** Things that came while nobody could weigh the tray: their weight, and what it lost meanwhile, are one number. */
export class UnseenThings {
  #wasBlind = false;
  /** Things on the tray, g, and its dry-back, when a scale could say so last. */
  #thingsG = 0;
  #dryBack = Number.NaN;
  #lostShare = 0;

  /** What the tray lost while no scale said so and such a thing came, that stands there still, as a share of its water. */
  get lostShare(): number {
    return this.#lostShare;
  }

  /** A look at a tray with things of `thingsG`; `blind` where no scale says what it weighs. */
  look(blind: boolean, thingsG: number, dryBack: number): void {
    if (blind) {
      this.#wasBlind = true;
      return;
    }
    const came = thingsG > this.#thingsG;
    if (came && this.#wasBlind) this.#lostShare = Math.max(0, dryBack - this.#dryBack);
    else if (thingsG < this.#thingsG) this.#lostShare = 0;
    this.#wasBlind = false;
    this.#thingsG = thingsG;
    this.#dryBack = dryBack;
  }
}
