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

/** Of the mat's probe only how warm it is. */
interface Seen extends Pick<Readings, 'matLook' | 'uptimeMs'> {
  readonly mat: Pick<Readings['mat'], 'celsius'>;
}

/** Watches what each look tells. */
export class MatLineWatch {
  #before: MatLine | null = null;
  /** Where it was found open; null while it was not. */
  #openAt: number | null = null;
  /** Warmest that the mat was since its line was sound, C. A restart forgets it: an open cut-out is told as a lead then. */
  #hottestC = Number.NEGATIVE_INFINITY;
  /** Uptime of the last look, ms. */
  #lookedMs = 0;

  /**
   * Each tick. A single look is not believed, since the supply may have dipped between its two readings; but for one that
   * shows the switch closed and was made as the mat was let go: there is no second one until it is wanted again.
   * An open lead of a mat that was as hot as opens its cut-out is put down to that: to the sense line it is the same as a
   * plug that is out.
   * Looks are made only while heat is asked for: without any for a day, what was open is let go.
   */
  tick({ mat, matLook, uptimeMs }: Seen): readonly Finding[] {
    if (mat.celsius > this.#hottestC) this.#hottestC = mat.celsius;
    if (matLook === null) return this.#unlooked(uptimeMs);
    this.#lookedMs = uptimeMs;
    const line = matLineOf(matLook);
    const isTwice = line === this.#before;
    this.#before = line;
    if (line === 'sound') {
      this.#hottestC = Number.NEGATIVE_INFINITY;
      return this.#whole();
    }
    if (line === 'welded') {
      return isTwice || matLook.isAsLetGo ? [happened('mat-stuck-on')] : NOTHING;
    }
    return line !== null && isTwice ? this.#open(this.#placeOf(line)) : NOTHING;
  }

  /** In a warm week nobody would ever see that it was mended. The next two looks tell it anew if it was not. */
  #unlooked(uptimeMs: number): readonly Finding[] {
    if (this.#openAt === null || uptimeMs - this.#lookedMs < LIMITS.matUnlookedMs) return NOTHING;
    this.#before = null;
    return this.#whole();
  }

  #placeOf(line: keyof typeof PLACES): number {
    const hot = line === 'lead-open' && this.#hottestC >= LIMITS.cutOutC;
    return hot ? MAT_OPEN.cutOut : PLACES[line];
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
