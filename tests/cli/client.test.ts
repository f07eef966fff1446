/** The laptop's end of the link against a board whose line fails in every way a line can. */
import type { Socket } from 'node:net';
import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { LinkError, type LinkErrorKind } from '../../cli/link/client';
import { connect } from '../../cli/link/connect';
import { CALL_WINDOW, LINK_TIMING, type LinkTiming } from '../../cli/link/limits';
import { listen } from '../../firmware/bench/server/listen';
import { PRODUCT_NAME } from '../../shared/board/map';
import { encodeLine } from '../../shared/link/framing';
import { holdsAsync } from '../properties';
import { Grower } from '../simulation/grower';
import {
  type Fate,
  flipped,
  spoiledLine,
  spoilOnce,
  swallowed,
  torn,
  unharmed,
} from './spoiled-line';

/** Short, since a board in this process answers within a millisecond or not at all. */
const BRISK: LinkTiming = {
  ...LINK_TIMING,
  openMs: 500,
  replyMs: 100,
  reopenMs: 150,
  reopenEveryMs: 5,
};
/** Whoever waits for a reply with this, waits longer than the test may take. */
const NO_TIMEOUT: LinkTiming = { ...BRISK, replyMs: 600_000 };

const endings: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of endings.splice(0).reverse()) await end();
});

/** A tray on the bench behind a line, and a client on it. */
async function reach(timing = BRISK, elapsedMs = () => 0) {
  const grower = new Grower();
  const line = await spoiledLine(grower.bench);
  endings.push(line.close);
  const client = await connect(line.port, { timing, elapsedMs });
  endings.push(client.close);
  line.heard.length = 0;
  return { grower, line, client };
}

async function failureOf(work: Promise<unknown>): Promise<LinkError> {
  const error = await work.then(
    () => null,
    (thrown: unknown) => thrown,
  );
  if (error instanceof LinkError) return error;
  throw new Error(`ended with ${error}, not with a LinkError`);
}

/** How often the board has written the mark down. */
const timesMarked = (grower: Grower): number =>
  grower.journal().filter(({ kind }) => kind === 'mark').length;

describe('a call whose reply is lost', () => {
  it('is repeated, and done once all the same', async () => {
    const { grower, line, client } = await reach();
    line.reply = spoilOnce('mark.set', swallowed);
    await client.call('mark.set', { mark: 'refilled' });
    expect(line.heard).toEqual(['mark.set', 'controller.hello', 'mark.set']);
    expect(timesMarked(grower)).toBe(1);
  });

  it('is repeated at once when the reply came damaged: nobody waits', async () => {
    const { grower, line, client } = await reach(NO_TIMEOUT);
    line.reply = spoilOnce('mark.set', flipped);
    await client.call('mark.set', { mark: 'refilled' });
    expect(timesMarked(grower)).toBe(1);
  });

  it('is given up after a few attempts, with what was tried and seen', async () => {
    const { line, client } = await reach();
    line.reply = swallowed;
    const error = await failureOf(client.call('mark.set', { mark: 'refilled' }));
    expect(error.kind).toBe('silent');
    expect(error.message).toContain(line.port);
    expect(error.message).toContain('asked once');
    expect(error.message).toContain('cannot be known');
    expect(error.message).not.toContain('mark.set');
  });

  it('is given up when nothing but rubbish comes back, and a read says that it changed nothing', async () => {
    const { line, client } = await reach(NO_TIMEOUT);
    line.reply = flipped;
    const error = await failureOf(client.call('status.read', {}));
    expect(error.kind).toBe('silent');
    expect(error.message).toContain('changes nothing');
  });

  it('does not hold up the others on their way', async () => {
    const { line, client } = await reach(NO_TIMEOUT);
    line.reply = spoilOnce('journal.page', swallowed);
    const pages = Array.from({ length: CALL_WINDOW }, (_, i) =>
      client.call('journal.page', { from: i + 1, count: 1 }),
    );
    expect((await Promise.all(pages)).map(({ from }) => from)).toEqual([1, 2, 3, 4]);
  });
});

describe('a board that restarts', () => {
  it('is noticed when it does not answer: the call is not sent a second time', async () => {
    const { grower, line, client } = await reach();
    line.reply = spoilOnce('mark.set', () => {
      grower.bench.reset('watchdog');
      return swallowed();
    });
    const error = await failureOf(client.call('mark.set', { mark: 'refilled' }));
    expect(error.kind).toBe('restarted');
    expect(error.message).toContain('cannot be known');
    expect(timesMarked(grower)).toBe(1);
  });

  it('is noticed after a pause, before anything is changed', async () => {
    let nowMs = 0;
    const { grower, client } = await reach(BRISK, () => nowMs);
    await client.call('mark.set', { mark: 'refilled' });
    grower.bench.cutPower();
    grower.bench.restorePower();
    nowMs += 1000;
    const error = await failureOf(client.call('mark.set', { mark: 'refilled' }));
    expect(error.kind).toBe('restarted');
    expect(error.message).toContain('was not asked');
    expect(timesMarked(grower)).toBe(1);
  });

  it('is not suspected while it goes on in the same boot', async () => {
    let nowMs = 0;
    const { grower, line, client } = await reach(BRISK, () => nowMs);
    for (let i = 0; i < 3; i++) {
      grower.bench.run(60_000);
      nowMs += 60_000;
      await client.call('status.read', {});
    }
    expect(line.heard.filter((method) => method === 'status.read')).toHaveLength(3);
  });
});

describe('a line that is cut', () => {
  it('in the middle of a reply is opened anew, and the call done once', async () => {
    const { grower, line, client } = await reach(NO_TIMEOUT);
    line.reply = spoilOnce('mark.set', torn);
    await client.call('mark.set', { mark: 'refilled' });
    expect(timesMarked(grower)).toBe(1);
    expect((await client.call('status.read', {})).stage).toBeNull();
  });

  it('in the middle of a request is opened anew too', async () => {
    const { grower, line, client } = await reach(NO_TIMEOUT);
    line.request = (bytes) => {
      line.request = unharmed;
      return torn(bytes);
    };
    await client.call('mark.set', { mark: 'refilled' });
    expect(timesMarked(grower)).toBe(1);
  });

  it('between two calls is opened anew for the second', async () => {
    const { line, client } = await reach(NO_TIMEOUT);
    line.reply = (bytes) => ({ arrives: bytes, cut: true });
    await client.call('status.read', {});
    line.reply = unharmed;
    expect((await client.call('status.read', {})).profile).toBeNull();
  });

  it('by a restart, as over USB, is told as a restart', async () => {
    const { grower, line, client } = await reach(NO_TIMEOUT);
    line.reply = spoilOnce('mark.set', (bytes) => {
      grower.bench.reset('watchdog');
      return torn(bytes);
    });
    expect((await failureOf(client.call('mark.set', { mark: 'refilled' }))).kind).toBe('restarted');
    expect(timesMarked(grower)).toBe(1);
  });

  it('for good is lost, and says for how long it was tried', async () => {
    const { line, client } = await reach(NO_TIMEOUT);
    line.reply = (bytes) => {
      line.plugged = false;
      return torn(bytes);
    };
    const error = await failureOf(client.call('status.read', {}));
    expect(error.kind).toBe('lost');
    expect(error.message).toContain('0.15 s');
  });

  it('and has another controller behind it afterwards, is not taken up with that one', async () => {
    const { line, client } = await reach(NO_TIMEOUT);
    const other = new Grower({ seed: 2 });
    line.reply = (bytes) => {
      line.bench = other.bench;
      line.reply = unharmed;
      return torn(bytes);
    };
    const error = await failureOf(client.call('mark.set', { mark: 'refilled' }));
    expect(error.kind).toBe('lost');
    expect(error.message).toContain(other.bench.boardId);
    expect(timesMarked(other)).toBe(0);
  });
});

describe('whatever the line does', () => {
  const fates: Record<string, (line: Uint8Array) => Fate> = {
    swallowed,
    flipped,
    torn,
    twice: (line) => ({ arrives: Buffer.concat([line, line]) }),
  };
  // Good ones between the bad ones, or no call would ever get through.
  const course = fc.array(fc.constantFrom('unharmed', ...Object.keys(fates)), { maxLength: 12 });

  it('each mark is written down once, or its call says that it may not have been', async () => {
    await holdsAsync(
      fc.asyncProperty(course, course, async (replies, requests) => {
        const { grower, line, client } = await reach({ ...BRISK, replyMs: 10 });
        const spoil = (course: string[]) => (bytes: Uint8Array) =>
          (fates[course.shift() ?? ''] ?? unharmed)(bytes);
        line.reply = spoil([...replies]);
        line.request = spoil([...requests]);
        let doubtful = 0;
        for (let i = 0; i < 3; i++) {
          await client.call('mark.set', { mark: 'refilled' }).catch((error: unknown) => {
            if (!(error instanceof LinkError)) throw error;
            doubtful++;
          });
        }
        const marked = timesMarked(grower);
        expect(marked).toBeLessThanOrEqual(3);
        expect(marked).toBeGreaterThanOrEqual(3 - doubtful);
      }),
      { numRuns: 60 },
    );
  });
});

describe('what answers at a port', () => {
  async function strangerAt(onConnection: (socket: Socket) => void): Promise<string> {
    const stranger = await listen(0, onConnection);
    endings.push(stranger.close);
    return `tcp://127.0.0.1:${stranger.port}`;
  }

  const answers = (outcome: object) => (socket: Socket) => {
    socket.on('data', (bytes: Buffer) => {
      const id = Number(/"id":(\d+)/.exec(bytes.toString('latin1'))?.[1]);
      if (Number.isNaN(id)) return;
      socket.write(encodeLine(JSON.stringify({ jsonrpc: '2.0', id, ...outcome })));
    });
  };
  const hello = (result: object) => answers({ result });

  const STRANGERS: [string, LinkErrorKind, string, (socket: Socket) => void][] = [
    ['an echo', 'not-ours', 'jsonrpc', (socket) => socket.pipe(socket)],
    [
      'a web server',
      'not-ours',
      'HTTP/1.1 400',
      (socket) =>
        socket.once('data', () =>
          socket.end('HTTP/1.1 400 Bad Request\r\nConnection: close\r\n\r\n'),
        ),
    ],
    [
      'an instrument with its own language',
      'not-ours',
      'ERR 5',
      (socket) => socket.on('data', () => socket.write('ERR 5\r\n')),
    ],
    ['somebody silent', 'silent', '3 times', (socket) => socket.resume()],
    ['a bench that is taken', 'in-use', 'another program', (socket) => socket.destroy()],
    ['another product', 'not-ours', 'something else', hello({ product: 'kettle' })],
    [
      'a board whose flash chip is too small',
      'refused',
      'it holds 1024 KB',
      answers({ error: { code: -32001, message: 'flash-unfit', data: [1024, 2048, 'ef4014'] } }),
    ],
    [
      'a newer firmware',
      'protocol',
      'newer',
      hello({ product: PRODUCT_NAME, link: 99, firmware: '9' }),
    ],
  ];

  it.each(STRANGERS)('%s is told as %s', async (_, kind, words, stranger) => {
    const port = await strangerAt(stranger);
    const error = await failureOf(connect(port, { timing: BRISK }));
    expect(error.kind).toBe(kind);
    expect(error.message).toContain(port);
    expect(error.message).toContain(words);
  });

  it('nobody is told as absent, at once', async () => {
    const gone = await listen(0, () => {});
    await gone.close();
    const port = `tcp://127.0.0.1:${gone.port}`;
    expect((await failureOf(connect(port, { timing: NO_TIMEOUT }))).kind).toBe('absent');
    expect((await failureOf(connect('/dev/no-such-port', { timing: NO_TIMEOUT }))).kind).toBe(
      'absent',
    );
  });

  it.each([
    'tcp://127.0.0.1',
    'tcp://127.0.0.1:0',
    'tcp://127.0.0.1:99999',
    'http://127.0.0.1:80',
    '',
  ])('%j is no port, and nothing is opened', async (port) => {
    expect((await failureOf(connect(port))).kind).toBe('no-address');
  });
});
