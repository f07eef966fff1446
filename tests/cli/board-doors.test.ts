/** `board check` at both doors of a board: one is the bench's USB port, the other its UART0. */
import { createServer, type Server } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { World } from '../../cli/context';
import { type Client, LinkError } from '../../cli/link/client';
import { Grower } from '../simulation/grower';
import { json, type ProcessBench, Program } from './program';
import { clientOf, runIn, worldAt } from './worlds';

/** What was found at the doors. */
const doorsOf = (said: Parameters<typeof json>[0]) => {
  const reply = json(said);
  return (reply.ok ? reply.result : reply.error.details[0]).findings[0];
};

describe('both doors of a board', () => {
  let program: Program;
  let bench: ProcessBench;
  let dumb: Server;
  /** A line at whose other end nobody is. */
  let silent = '';

  beforeAll(async () => {
    program = await Program.built();
    bench = await program.startBench('--seed', '21', '--listen-uart', '0');
    await bench.wait(30);
    dumb = createServer(() => {});
    await new Promise<void>((resolve) => dumb.listen(0, '127.0.0.1', resolve));
    silent = `tcp://127.0.0.1:${Object(dumb.address()).port}`;
  });
  afterAll(async () => {
    dumb.close();
    await program.end();
  });

  const tried = async (...uart: string[]) => {
    const words = ['--json', '--port', bench.at.link, 'board', 'check', '--only', 'doors'];
    const env = { TRAYWARD_TIMEOUT_FACTOR: '0.1' };
    return program.runHere([...words, ...uart], { env });
  };

  it('that lead to one board are good', async () => {
    const said = await tried('--uart', bench.at.uart ?? '');
    expect(said.code).toBe(0);
    expect(doorsOf(said)).toMatchObject({ step: 'doors', verdict: 'good' });
    expect(doorsOf(said).says).toContain(`Board ${bench.at.boardId} answers at both doors`);
  });

  it('of which one is silent are wrong, with the wires to look at', async () => {
    const said = await tried('--uart', silent);
    expect(said.code).toBe(1);
    expect(doorsOf(said)).toMatchObject({ verdict: 'wrong', next: expect.stringContaining('J8') });
    expect(doorsOf(said).says).toContain(`nothing does at ${silent}`);
  });

  it('of two boards are told apart by their numbers', async () => {
    const other = await program.startBench('--seed', '22');
    const said = await tried('--uart', other.at.link);
    expect(doorsOf(said)).toMatchObject({ verdict: 'wrong' });
    expect(doorsOf(said).says).toContain(other.at.boardId);
    expect(doorsOf(said).says).toContain('these are two boards');
    await other.stop();
  });

  it('of which one was not there to be asked are not called wrong', async () => {
    const said = await tried('--uart', '/dev/tty-nowhere');
    expect(said.code).toBe(0);
    expect(doorsOf(said)).toMatchObject({ verdict: 'untried' });
  });

  it('of which nobody named the other are not tried, and it is said how they are', async () => {
    const said = await tried();
    expect(doorsOf(said)).toMatchObject({
      verdict: 'untried',
      next: expect.stringContaining('--uart PORT'),
    });
  });

  it('are not one port named twice', async () => {
    const { error } = json(await tried('--uart', bench.at.link));
    expect(error).toMatchObject({ kind: 'usage' });
  });
});

describe('a board with an adapter at its service header', () => {
  const USB = '/dev/ttyACM0';
  const ADAPTER = '/dev/ttyUSB0';

  /** Both doors are found; `asked`: which were opened. */
  function worldWithBoth(grower: Grower, asked: string[], changes: Partial<World> = {}): World {
    const at = (port: string) => ({ ...clientOf(grower), port });
    return worldAt(grower, {
      findControllers: async () => [ADAPTER, USB].map(at),
      connect: async (port) => {
        asked.push(port);
        return at(port);
      },
      ...changes,
    });
  }

  it('is one controller, reached over USB, and its other door is found by its number', async () => {
    const grower = new Grower();
    grower.bench.run(30_000);
    const asked: string[] = [];
    const words = ['--json', 'board', 'check', '--only', 'doors'];
    const said = await runIn(worldWithBoth(grower, asked), words);
    expect(asked).toEqual([USB, ADAPTER]);
    expect(doorsOf(said)).toMatchObject({ verdict: 'good' });
  });

  it('whose long answers are lost there is wrong, though it says who it is', async () => {
    const grower = new Grower();
    grower.bench.run(30_000);
    const connect = async (port: string): Promise<Client> => {
      const client = { ...clientOf(grower), port };
      return {
        ...client,
        call: (method, params) =>
          port === ADAPTER && method === 'journal.page'
            ? Promise.reject(new LinkError('silent', 'nothing sound'))
            : client.call(method, params),
      };
    };
    const world = worldWithBoth(grower, [], { connect });
    const said = await runIn(world, ['--json', 'board', 'check', '--only', 'doors']);
    expect(doorsOf(said)).toMatchObject({ verdict: 'wrong', next: expect.stringContaining('GND') });
  });
});
