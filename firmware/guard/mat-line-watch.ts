/**
 * The mat's fuse, lead and own switch, by looks at the sense line: within seconds of the mat being switched on or let
 * go, and while it heats.
 */
import { MAT_OPEN } from '../../shared/board/words';
import { type MatLine, matLineOf } from '../sensing/mat-line';
import type { Readings } from '../sensing/readings';
import { condition, type Finding, happened, NOTHING } from './finding';
import { GUARD_LIMITS as LIMITS } from './limits';

const PLACES: Readonly<Record<'fuse-blown' | 'lead-open' | 'switch-open', number>> = {
  'fuse-blown': MAT_OPEN.fuse,
  'lead-open': MAT_OPEN.lead,
  'switch-open': MAT_OPEN.switch,
};

/** Watches what each look tells. */
export class MatLineWatch {
  #before: MatLine | null = null;
  /** Where it was found open; null while it was not. */
  #openAt: number | null = null;
  /** Uptime of the last look, ms. */
  #lookedMs = 0;

  /**
   * Each tick. A single look is not believed, since the supply may have dipped between its two readings; but for one that
   * shows the switch closed and was made as the mat was let go: there is no second one until it is wanted again.
   * Looks are made only while heat is asked for: without any for a day, what was open is let go.
   */
  tick({ matLook, uptimeMs }: Pick<Readings, 'matLook' | 'uptimeMs'>): readonly Finding[] {
    if (matLook === null) return this.#unlooked(uptimeMs);
    this.#lookedMs = uptimeMs;
    const line = matLineOf(matLook);
    const isTwice = line === this.#before;
    this.#before = line;
    if (line === 'sound') return this.#whole();
    if (line === 'welded') {
      return isTwice || matLook.isAsLetGo ? [happened('mat-stuck-on')] : NOTHING;
    }
    return line !== null && isTwice ? this.#open(PLACES[line]) : NOTHING;
  }

  /** In a warm week nobody would ever see that it was mended. The next two looks tell it anew if it was not. */
  #unlooked(uptimeMs: number): readonly Finding[] {
    if (this.#openAt === null || uptimeMs - this.#lookedMs < LIMITS.matUnlookedMs) return NOTHING;
    this.#before = null;
    return this.#whole();
  }

  #whole(): readonly Finding[] {
    this.#openAt = null;
    return [condition('mat-open', false)];
  }

  /** What is mended at one place may be open at another: that is another thing to do, and told anew. */
  #open(place: number): readonly Finding[] {
    const moved = this.#openAt !== null && this.#openAt !== place;
    this.#openAt = place;
    const open = condition('mat-open', true, place, 0);
    return moved ? [condition('mat-open', false), open] : [open];
  }
}
