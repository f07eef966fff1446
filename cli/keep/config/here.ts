/** Which addresses are those of this very computer, and of nobody else. Pure. */
import { isIPv4 } from 'node:net';

/** Whether a server of this name, or at this address, can be reached from this computer alone. */
export const isHere = (host: string): boolean =>
  host === 'localhost' || host === '::1' || (isIPv4(host) && host.startsWith('127.'));
