/** Which serial ports, and which benches, answer as a controller. */
import { runningBenches } from '../../shared/host/benches';
import { type Client, LinkError, type LinkErrorKind } from './client';
import { connect } from './connect';
import { PROBE_PORTS_AT_ONCE, PROBE_PORTS_MAX, PROBE_TIMING } from './limits';
import { listSerialPorts } from './serial';

/** A controller that answered. */
export interface Found {
  readonly port: string;
  readonly hello: Client['hello'];
}

/** A port that says so may well have a controller behind it; `refused` by one that runs no firmware. */
const UNASKED: readonly LinkErrorKind[] = ['in-use', 'denied', 'refused'];

/** Who answers at a port, or why it could not be asked; null for silence, or a device that is not ours. */
async function ask(port: string): Promise<Found | LinkError | null> {
  try {
    const client = await connect(port, { timing: PROBE_TIMING });
    await client.close();
    return { port, hello: client.hello };
  } catch (error) {
    return error instanceof LinkError && UNASKED.includes(error.kind) ? error : null;
  }
}

/**
 * Asks the ports that were plugged in, and the benches of this machine, a few at a time. Throws
 * `LinkError` `in-use`, `denied` or `refused` when nobody else answers and there is a port that could not be asked: the
 * controller is probably behind it.
 */
export async function findControllers(): Promise<readonly Found[]> {
  const plugged = (await listSerialPorts()).filter(({ usb }) => usb).map(({ path }) => path);
  const ports = [...plugged, ...runningBenches().map(({ link }) => link)].slice(0, PROBE_PORTS_MAX);
  const found: Found[] = [];
  const unasked: LinkError[] = [];
  for (let at = 0; at < ports.length; at += PROBE_PORTS_AT_ONCE) {
    const some = ports.slice(at, at + PROBE_PORTS_AT_ONCE);
    const answers = await Promise.all(some.map(ask));
    for (const answer of answers) {
      if (answer instanceof LinkError) unasked.push(answer);
      else if (answer !== null) found.push(answer);
    }
  }
  const [first] = unasked;
  if (found.length === 0 && first !== undefined) throw first;
  return found;
}
