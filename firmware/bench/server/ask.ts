/** Asks a running bench one thing, over its door. */
import { connect } from 'node:net';
import { decline, type Verdict } from '../../../shared/physics/verdict';
import { type DoorRequest, type DoorResult, parseReply } from './door';
import { lineReader } from './lines';
import { LOOPBACK } from './listen';

/** A reply is a few hundred bytes. */
const REPLY_MAX_BYTES = 65_536;

/** The bench is not there (any more). */
export class NoBench extends Error {
  override readonly name = 'NoBench';
}

/** Port of `tcp://127.0.0.1:PORT`, or null: benches are on this machine. */
function portOf(address: string): number | null {
  const parts = /^tcp:\/\/(?:127\.0\.0\.1|localhost):(\d{1,5})\/?$/.exec(address);
  return parts === null ? null : Number(parts[1]);
}

/** The bench's answer, however long it takes (a run may take a while). Throws `NoBench`. */
export function askBench(door: string, request: DoorRequest): Promise<Verdict<DoorResult>> {
  const port = portOf(door);
  if (port === null) {
    return Promise.resolve(decline(`'${door}' is no bench door: write tcp://${LOOPBACK}:PORT.`));
  }
  return new Promise((resolve, reject) => {
    const socket = connect({ host: LOOPBACK, port, noDelay: true });
    const gone = (): void => reject(new NoBench(`No bench answers at ${door}.`));
    socket.once('error', gone);
    socket.once('close', gone);
    socket.on(
      'data',
      lineReader(
        REPLY_MAX_BYTES,
        (line) => {
          resolve(parseReply(line));
          socket.destroy();
        },
        () => socket.destroy(),
      ),
    );
    socket.write(`${JSON.stringify(request)}\n`);
  });
}
