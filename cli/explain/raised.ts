/** What the controller did when it found something wrong: it raised its alarm. Pure. */
import type { AlarmSpan } from './alarm-spans';
import { type Claim, claim } from './finding';

/** `what` the alarm says, `that the tray is too dry`; empty where the incident says it already. */
export const raisedClaim = ({ fromMs, raised }: AlarmSpan, what = ''): Claim =>
  claim(
    ({ time }) => `It raised its alarm${what === '' ? '' : ` ${what}`} (${time(fromMs)})`,
    [raised],
  );
