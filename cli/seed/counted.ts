/** A count as a grower types it. */
import { shortened } from '../arguments/options';
import { usage } from '../failure';
import { SEED_LIMITS } from './limits';

export interface Counted {
  readonly standing: number;
  readonly of: number;
}

/** `41 of 98`, or `41/98`, as it stands on the command line. */
export function countedOf(text: string, next: string): Counted {
  const [, standing, of] = /^(\d+)\s*(?:of|\/)\s*(\d+)$/i.exec(text.trim()) ?? [];
  if (standing === undefined || of === undefined) {
    throw usage(
      `${shortened(text)} is no count: how many stand, of how many sown, 1 to ${SEED_LIMITS.seedsMost}.`,
      next,
      'not-a-number',
    );
  }
  const counted = { standing: Number(standing), of: Number(of) };
  if (counted.of < 1 || counted.of > SEED_LIMITS.seedsMost) {
    throw usage(
      `Seeds sown: 1 to ${SEED_LIMITS.seedsMost}, not ${shortened(of)}. More stand on no tray.`,
      next,
      'not-a-number',
    );
  }
  if (counted.standing <= counted.of) return counted;
  throw usage(
    `No more can stand than were sown: ${standing} of ${of}.`,
    'Count again; write what stands first, then what was sown.',
    'not-a-number',
  );
}
