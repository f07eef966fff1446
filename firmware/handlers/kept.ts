/** What handlers that keep something share. */
import { refuse } from '../link/refusal';
import type { Tray } from '../tray/tray';

/** Refuses where the flash did not take a value: nothing has changed. */
export function keptOrRefuse(kept: boolean): void {
  if (!kept) refuse('storage-failing');
}

/** Time of day for what is kept, Unix ms; 0 while unknown. */
export function unixMsNow({ clock, board }: Tray): number {
  return clock.known ? Math.round(clock.unixMs(board.clockMs())) : 0;
}
