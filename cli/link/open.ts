/** Opens a port by the way it is named. */
import { LinkError } from './client';
import type { Transport } from './transport';

const SCHEME = /^[a-z][a-z0-9+.-]*:\/\//i;

/**
 * Opens a port through the keeper that holds it, where there is one, and else itself. Throws `LinkError` as
 * `openPort` does.
 */
export async function openTransport(port: string, openMs: number): Promise<Transport> {
  const { openShared } = await import('./shared');
  return (await openShared(port, openMs)) ?? openPort(port, openMs);
}

/**
 * Opens a port as the grower names it: `tcp://HOST:PORT`, or a serial port such as `/dev/ttyACM0` or
 * `COM3`. Nothing is ever opened but what was named. Throws `LinkError` `no-address`, `absent`, `in-use`, `denied`.
 */
export async function openPort(port: string, openMs: number): Promise<Transport> {
  if (port.startsWith('tcp://')) {
    const { openTcp } = await import('./tcp');
    return openTcp(port, openMs);
  }
  if (SCHEME.test(port) || port === '') {
    throw new LinkError(
      'no-address',
      `"${port}" is no port: give a serial port such as /dev/ttyACM0 or COM3, or tcp://HOST:PORT.`,
    );
  }
  const { openSerial } = await import('./serial');
  return openSerial(port, openMs);
}
