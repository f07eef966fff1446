/** A port as the link needs it: bytes out, bytes in, and the news that it has closed. */
import { LinkError } from './client';

export interface TransportListener {
  bytes(bytes: Uint8Array): void;
  /** Once, whoever closed it. */
  closed(): void;
}

export interface Transport {
  write(bytes: Uint8Array): void;
  /** To be called once, right after opening. */
  listen(listener: TransportListener): void;
  close(): Promise<void>;
}

const SCHEME = /^[a-z][a-z0-9+.-]*:\/\//i;

/**
 * Opens a port as the grower names it: `tcp://HOST:PORT`, or a serial port such as `/dev/ttyACM0` or
 * `COM3`. Nothing is ever opened but what was named. Throws `LinkError` `no-address`, `absent`, `in-use`, `denied`.
 */
export async function openTransport(port: string, openMs: number): Promise<Transport> {
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

/** Settles like `work`, or throws `late()` after `ms`. Whatever `work` brings then goes to `discard`. */
export async function within<T>(
  ms: number,
  work: Promise<T>,
  late: () => Error,
  discard: (value: T) => void,
): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  let isLate = false;
  const deadline = new Promise<never>((_, reject) => {
    timer = setTimeout(() => {
      isLate = true;
      reject(late());
    }, ms);
  });
  work.then(
    (value) => {
      if (isLate) discard(value);
    },
    () => undefined,
  );
  try {
    return await Promise.race([work, deadline]);
  } finally {
    clearTimeout(timer);
  }
}
