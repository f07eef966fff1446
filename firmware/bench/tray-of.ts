/** A bench's tray as a profile describes it: its pieces and what lies under them, the blocks that come after, the reservoir. */
import type { Profile } from '../../shared/profile/profile';
import { NOTHING_UNDER } from './plant/wool';
import type { RigOptions } from './rig';

/** Rig options for the tray, blocks and reservoir of `profile`. */
export function trayOf({ media, spread, reservoirMl }: Profile) {
  const [medium, blocks] = media;
  if (medium === undefined) throw new Error('a profile without a medium');
  return {
    medium,
    ...(blocks === undefined ? {} : { blocks }),
    under: spread ?? NOTHING_UNDER,
    pump: { reservoirMl },
  } satisfies Partial<RigOptions>;
}
