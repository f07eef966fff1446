/**
 * The supplies of mat and pump behind their second switches: dead although one of them is asked for, or live although
 * neither is. Told within seconds.
 */
import { OUTPUT } from '../../shared/board/words';
import type { Readings } from '../sensing/readings';
import { condition, type Finding } from './finding';
import { GUARD_LIMITS as LIMITS } from './limits';

const LEASED = OUTPUT.matOn | OUTPUT.pumpOn;

/** Watches what the sense line says against what is leased. */
export class SupplyWatch {
  #ticks = 0;
  #wasLeased = false;
  /** By whether something was leased: each is seen only while it is so, and stands until it is seen to be over. */
  #deadWhenLeased = false;
  #liveWhenIdle = false;

  /** Each tick. The value told is 1 for live and 0 for dead. */
  tick({ outputs }: Pick<Readings, 'outputs'>): readonly Finding[] {
    const leased = (outputs & LEASED) !== 0;
    const live = (outputs & OUTPUT.loadsLive) !== 0;
    // A second switch takes its time to open, and a lease may have come and gone between two ticks.
    this.#ticks = leased === this.#wasLeased ? this.#ticks + 1 : 0;
    this.#wasLeased = leased;
    if (this.#ticks < LIMITS.supplyTicks) return [];
    if (leased) this.#deadWhenLeased = !live;
    else this.#liveWhenIdle = live;
    const wrong = this.#deadWhenLeased || this.#liveWhenIdle;
    return [condition('supply-wrong', wrong, this.#liveWhenIdle ? 1 : 0, 0)];
  }
}
