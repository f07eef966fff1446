/** Why a boot began. Pure. */
import { RESET_CAUSES, type ResetCause } from '../../shared/board/words';
import type { Boot, Noted } from './time-line';

export interface Start {
  readonly note: Noted;
  readonly cause: ResetCause | null;
  readonly number: number;
  readonly detail: number;
}

/** The entry with which a boot begins; null where it was lost. */
export function bootEntry({ notes }: Boot): Start | null {
  for (const note of notes) {
    const { entry } = note.dated;
    if (entry.kind !== 'boot') continue;
    return {
      note,
      cause: RESET_CAUSES[entry.cause] ?? null,
      number: entry.cause,
      detail: entry.detail,
    };
  }
  return null;
}
