/** Which serial ports, and which benches, answer as a controller. */
import { runningBenches } from '../../firmware/bench/server/announce';
import type { Found } from '../context';
import { connect } from './connect';
import { PROBE_PORTS_AT_ONCE, PROBE_PORTS_MAX, PROBE_TIMING } from './limits';
import { listSerialPorts } from './serial';

async function ask(port: string): Promise<Found | null> {
  try {
    const client = await connect(port, { timing: PROBE_TIMING });
    await client.close();
    return { port, hello: client.hello };
  } catch {
    // Silence, another program's port, a device that is not ours: all the same here.
    return null;
  }
}

/** Asks the ports that were plugged in, and the benches of this machine, a few at a time. */
export async function findControllers(): Promise<readonly Found[]> {
  const plugged = (await listSerialPorts()).filter(({ usb }) => usb).map(({ path }) => path);
  const ports = [...plugged, ...runningBenches().map(({ link }) => link)].slice(0, PROBE_PORTS_MAX);
  const found: Found[] = [];
  for (let at = 0; at < ports.length; at += PROBE_PORTS_AT_ONCE) {
    const some = ports.slice(at, at + PROBE_PORTS_AT_ONCE);
    const answers = await Promise.all(some.map(ask));
    found.push(...answers.filter((one) => one !== null));
  }
  return found;
}
