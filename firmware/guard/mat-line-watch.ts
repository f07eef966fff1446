/**
 * The mat's fuse, lead and own switch, by looks at the sense line: within seconds where the mat is switched on or let
 * go, within ten minutes while it heats.
 */
import { MAT_OPEN, OUTPUT } from '../../shared/board/words';
import { type MatLine, matLineOf } from '../sensing/mat-line';
import type { Readings } from '../sensing/readings';
import { condition, type Finding, happened, NOTHING } from './finding';

/** Watches what each look tells. */
export class MatLineWatch {
  #before: MatLine | null = null;

  /**
   * Each tick. A single look is not believed, since the supply may have dipped between its two readings; but for one that
   * shows the switch closed when the mat has just been let go: there is no second one until it is wanted again.
   */
  tick({ matLook, outputs }: Pick<Readings, 'matLook' | 'outputs'>): readonly Finding[] {
    if (matLook === null) return NOTHING;
    const line = matLineOf(matLook);
    const isTwice = line === this.#before;
    this.#before = line;
    const isLetGo = (outputs & OUTPUT.matOn) === 0;
    switch (line) {
      case 'sound':
        return [condition('mat-open', false)];
      case 'welded':
        return isTwice || isLetGo ? [happened('mat-stuck-on')] : NOTHING;
      case 'fuse-blown':
        return isTwice ? [condition('mat-open', true, MAT_OPEN.fuse, 0)] : NOTHING;
      case 'lead-open':
        return isTwice ? [condition('mat-open', true, MAT_OPEN.lead, 0)] : NOTHING;
      case 'switch-open':
        return isTwice ? [condition('mat-open', true, MAT_OPEN.switch, 0)] : NOTHING;
      case null:
        return NOTHING;
    }
  }
}
