/** One port for several programs: each gets its own replies, whatever the others ask and whatever the line does. */
import { mkdtempSync, rmSync } from 'node:fs';
import type { Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { relayPort } from '../../cli/keep/share/relay';
import { LinkError } from '../../cli/link/client';
import { connect } from '../../cli/link/connect';
import { openTransport } from '../../cli/link/open';
import { type Listening, listen } from '../../firmware/bench/server/listen';
import { serveBench } from '../../firmware/bench/server/serve';
import { makeMeetingPlace, plainPort, portSocket } from '../../shared/host/keepers';

const ends: (() => unknown)[] = [];
let before: string | undefined;
beforeEach(() => {
  // The keepers of this machine are none of these tests'.
  before = process.env.TMPDIR;
  const folder = mkdtempSync(join(tmpdir(), 'trayward-share-'));
  process.env.TMPDIR = folder;
  ends.push(() => rmSync(folder, { recursive: true, force: true }));
});
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
  if (before === undefined) delete process.env.TMPDIR;
  else process.env.TMPDIR = before;
});

async function shared(port: string): Promise<void> {
  const relay = await relayPort(port, portSocket(makeMeetingPlace(), port));
  ends.push(() => relay.close());
}

/** A bench whose two doors are taken but for the one the relay has. */
async function benchPort(): Promise<string> {
  const bench = await serveBench({
    ...{ linkPort: 0, doorPort: 0, ptyPath: null, speed: 0, seed: 1, crop: 'pepper' },
    ...{
      startUnixMs: 0,
      room: { meanC: 24, swingK: 0, warmestHour: 15 },
      cell: { capacityG: 10_000 },
    },
  });
  ends.push(() => bench.stop());
  return bench.at.link;
}

describe('a shared port', () => {
  it('serves many programs at a time, each with its own replies', async () => {
    const port = await benchPort();
    await shared(port);
    const clients = await Promise.all(Array.from({ length: 5 }, () => connect(port)));
    ends.push(() => Promise.all(clients.map((client) => client.close())));
    const asked = clients.flatMap((client) =>
      Array.from({ length: 20 }, async (_, i) =>
        i % 2 === 0
          ? Object.hasOwn(await client.call('journal.info', {}), 'boot')
          : Object.hasOwn(await client.call('status.read', {}), 'heat'),
      ),
    );
    expect(new Set(await Promise.all(asked))).toEqual(new Set([true]));
  });

  it('goes on for the others when one hangs up with a question on its way', async () => {
    const port = await benchPort();
    await shared(port);
    const [one, other] = await Promise.all([connect(port), connect(port)]);
    ends.push(() => other.close());
    const lost = one.call('status.read', {}).catch(() => null);
    await one.close();
    await lost;
    expect(await other.call('journal.info', {})).toMatchObject({ boot: 1 });
  });

  it('that cannot be opened is told with the reason, not as in use', async () => {
    const port = 'tcp://127.0.0.1:1';
    await shared(port);
    await expect(openTransport(port, 1_000)).rejects.toThrow(/nothing listens there/);
    await expect(openTransport(port, 1_000)).rejects.toBeInstanceOf(LinkError);
  });

  it('hands a damaged line to whoever asked first, and a reply with an id to its asker', async () => {
    let board: Socket | null = null;
    const asked: string[] = [];
    const place: Listening = await listen(0, (socket) => {
      board = socket;
      socket.on('data', (bytes: Buffer) => asked.push(bytes.toString()));
    });
    ends.push(() => place.close());
    const port = `tcp://127.0.0.1:${place.port}`;
    await shared(port);
    const heard: string[][] = [[], []];
    for (const [i, id] of [7, 8].entries()) {
      const transport = await openTransport(port, 1_000);
      ends.push(() => transport.close());
      transport.listen({
        bytes: (bytes) => heard[i]?.push(Buffer.from(bytes).toString()),
        closed() {},
      });
      transport.write(Buffer.from(`{"jsonrpc":"2.0","id":${id}}\n`));
      await expect.poll(() => asked.join('')).toContain(`"id":${id}`);
    }
    const say = (line: string): unknown => (board as Socket | null)?.write(`${line}\n`);
    say('rubb#sh');
    say('{"jsonrpc":"2.0","id":8,"result":{"id":7}}');
    await expect
      .poll(() => heard[1]?.join(''))
      .toBe('{"jsonrpc":"2.0","id":8,"result":{"id":7}}\n');
    expect(heard[0]?.join('')).toBe('rubb#sh\n');
  });

  it('is the same one however it is written', () => {
    expect(plainPort('tcp://localhost:4180/')).toBe('tcp://127.0.0.1:4180');
    expect(plainPort('COM3')).toBe('COM3');
  });
});
