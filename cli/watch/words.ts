/** What a watch says of a line that is gone, and of one that has come back. */
import type { LinkErrorKind } from '../link/client';
import type { Sight } from './follow';

const LOST: Partial<Record<LinkErrorKind, string>> = {
  restarted: 'The controller has restarted.',
  silent: 'The controller does not answer.',
  lost: 'The line was cut.',
  absent: 'The port is not there.',
  'in-use': 'Another program holds the port.',
  denied: 'You may not open the port.',
  'not-ours': 'Something else answers at the port.',
};

/** Why there are no readings, in one sentence. */
export const whyLost = (reason: LinkErrorKind): string => LOST[reason] ?? 'The line is gone.';

/** What has come back. */
export function whatIsBack({ restarted, boot }: Extract<Sight, { kind: 'back' }>): string {
  return restarted
    ? `The controller is back; it restarted, and is in its start number ${boot}.`
    : 'The line is back; the controller ran on.';
}
