/** Which serial ports answer as a controller. */
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

/** Asks the ports that were plugged in, a few at a time. Opens no other kind of port. */
export async function findControllers(): Promise<readonly Found[]> {
  const ports = (await listSerialPorts()).filter(({ usb }) => usb).slice(0, PROBE_PORTS_MAX);
  const found: Found[] = [];
  for (let at = 0; at < ports.length; at += PROBE_PORTS_AT_ONCE) {
    const some = ports.slice(at, at + PROBE_PORTS_AT_ONCE);
    const answers = await Promise.all(some.map(({ path }) => ask(path)));
    found.push(...answers.filter((one) => one !== null));
  }
  return found;
}
