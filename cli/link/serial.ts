/** A serial port: the board's USB socket, or a 3.3 V adapter at its service pins. */
import { readdir, readFile, stat } from 'node:fs/promises';
import { UART_BAUD } from '../../shared/board/map';
import { LinkError, type LinkErrorKind } from './client';
import type { Transport } from './transport';
import { within } from './within';

/** As the board's UART is set (8N1, no handshake); USB ignores it. */
const SETTINGS = {
  baudRate: UART_BAUD,
  dataBits: 8,
  parity: 'none',
  stopBits: 1,
  rtscts: false,
  xon: false,
  xoff: false,
  // Leave DTR as it is at the end: on other people's boards each rise of it is a reset.
  hupcl: false,
  lock: true,
  autoOpen: false,
} as const;

/** A serial port of this machine. `usb`: it is a device that was plugged in. */
export interface SerialPortEntry {
  readonly path: string;
  readonly usb: boolean;
}

/** What Linux calls devices that were plugged in: modems by class (CDC-ACM), and adapters. */
const PLUGGED = /^tty(ACM|USB)\d+$/;

/** The serial ports that the system lists. */
export async function listSerialPorts(): Promise<SerialPortEntry[]> {
  const { SerialPort } = await import('serialport');
  const ports = await SerialPort.list().catch((error: unknown) => {
    // The library asks udev for them, which small systems and containers lack.
    if (process.platform !== 'linux') throw error;
    return null;
  });
  if (ports === null) {
    const names = (await readdir('/dev')).filter((name) => PLUGGED.test(name));
    return names.map((name) => ({ path: `/dev/${name}`, usb: true }));
  }
  return ports.map(({ path, vendorId, pnpId }) => ({
    path,
    usb: vendorId !== undefined || pnpId !== undefined,
  }));
}

/** Opens a serial port for this program alone. Throws `LinkError` `absent`, `in-use`, `denied`. */
export async function openSerial(path: string, openMs: number): Promise<Transport> {
  const { SerialPort } = await import('serialport');
  const port = new SerialPort({ path, ...SETTINGS });
  const opening = new Promise<void>((resolve, reject) => {
    port.open((error) => (error ? reject(error) : resolve()));
  });
  const late = (): Error =>
    new LinkError('silent', `${path} did not open within ${openMs / 1000} s.`);
  try {
    await within(openMs, opening, late, () => port.close());
  } catch (error) {
    throw error instanceof LinkError ? error : await whyNotOpened(path, error);
  }
  // Pulling the cable shows as an error, then as `close`, which says all we need.
  port.on('error', () => undefined);
  return {
    write(bytes) {
      if (port.isOpen) port.write(bytes);
    },
    listen({ bytes, closed }) {
      port.on('data', bytes);
      port.once('close', closed);
    },
    close() {
      return new Promise((resolve) => {
        if (!port.isOpen) return resolve();
        port.close(() => resolve());
      });
    },
  };
}

/** The library gives the system's words, which differ by system, and no code. */
const CAUSES: readonly (readonly [RegExp, LinkErrorKind])[] = [
  [/permission denied|EACCES/i, 'denied'],
  // Windows says "access denied" when another program has the port.
  [/cannot lock|temporarily unavailable|busy|EBUSY|EAGAIN|access denied|in use/i, 'in-use'],
  [/no such file|no such device|not found|ENOENT|ENXIO|ENODEV/i, 'absent'],
];

/** What the system says of a file, a folder or another kind of device. */
const NOT_SERIAL = /inappropriate ioctl|is a directory|not a tty|ENOTTY|EISDIR/i;

async function whyNotOpened(path: string, error: unknown): Promise<LinkError> {
  const words = error instanceof Error ? error.message : String(error);
  if (NOT_SERIAL.test(words)) return new LinkError('absent', `${path} is no serial port.`);
  const kind = CAUSES.find(([pattern]) => pattern.test(words))?.[1];
  switch (kind) {
    case 'absent':
      return new LinkError(kind, `There is no port ${path}.`);
    case 'in-use':
      return new LinkError(kind, `${path} is in use: another program holds it.`);
    case 'denied':
      return new LinkError(kind, await whyDenied(path));
    default:
      return new LinkError(
        'absent',
        `${path} could not be opened as a serial port: ${words.replace(/^Error: /, '')}.`,
      );
  }
}

/** The sentence for a port that this user may not open, with the group that may. */
async function whyDenied(path: string): Promise<string> {
  const group = await groupOf(path);
  const remedy =
    group === null
      ? 'Ask whoever runs this machine for the right to use it.'
      : `It belongs to the group "${group}": join it with \`sudo usermod -aG ${group} $USER\`, then log out and in again.`;
  return `You may not open ${path}. ${remedy}`;
}

/** Name of the group that owns `path`, or null where that cannot be told or would be root's. */
async function groupOf(path: string): Promise<string | null> {
  try {
    const { gid } = await stat(path);
    const lines = (await readFile('/etc/group', 'utf8')).split('\n');
    const name = lines
      .map((line) => line.split(':'))
      .find((parts) => parts[2] === String(gid))?.[0];
    return gid === 0 || name === undefined ? null : name;
  } catch {
    return null;
  }
}
