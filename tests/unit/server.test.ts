import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { refuse } from '../../firmware/link/refusal';
import { createLinkServer, type Handlers } from '../../firmware/link/server';
import { DOOR, type Door } from '../../shared/board/map';
import { encodeUtf8 } from '../../shared/bytes';
import { createLineDecoder, encodeLine } from '../../shared/link/framing';
import { LINK_LIMITS, RPC_ERROR } from '../../shared/link/methods';
import { METHOD_FIELDS } from '../../shared/link/params';
import { holds } from '../properties';

interface Reply {
  readonly jsonrpc: string;
  readonly id: unknown;
  readonly result?: unknown;
  readonly error?: {
    readonly code: number;
    readonly message: string;
    readonly data: readonly unknown[];
  };
}

/** A board's end of the link with a stage, a pump and a journal page to ask for, and nothing else. */
class BoardEnd {
  readonly done: string[] = [];
  readonly faults: string[] = [];
  readonly replies: { door: Door; reply: Reply }[] = [];
  readonly #inbox = new Map<Door, (bytes: Uint8Array) => void>();
  readonly #server = createLinkServer({
    handlers: this.#handlers(),
    send: (door, bytes) => this.#inbox.get(door)?.(bytes),
    onFault: (where) => this.faults.push(where),
  });

  constructor() {
    for (const door of Object.values(DOOR)) {
      const decode = createLineDecoder(LINK_LIMITS.lineToHostBytes, (line) => {
        if (line.kind !== 'text' || !line.checked) throw new Error('a reply without its CRC');
        this.replies.push({ door, reply: JSON.parse(line.text) });
      });
      this.#inbox.set(door, decode);
    }
  }

  receive(bytes: Uint8Array, door: Door = DOOR.usb): void {
    this.#server.receive(door, bytes);
  }

  /** The replies to one line. */
  answers(line: Uint8Array, door: Door = DOOR.usb): Reply[] {
    const before = this.replies.length;
    this.receive(line, door);
    return this.replies.slice(before).map(({ reply }) => reply);
  }

  /** The only reply to a call with its CRC. */
  call(method: string, params: object, id: unknown = 1): Reply {
    return this.only(encodeLine(JSON.stringify({ jsonrpc: '2.0', id, method, params })));
  }

  only(line: Uint8Array): Reply {
    const [reply, ...more] = this.answers(line);
    if (reply === undefined || more.length > 0) throw new Error(`${more.length + 1} replies`);
    expect(reply.jsonrpc).toBe('2.0');
    return reply;
  }

  #handlers(): Handlers {
    const none = (): never => refuse('weight-implausible', 3);
    return {
      'controller.hello': none,
      'status.read': none,
      'clock.set': none,
      'scale.read': none,
      'scale.measure': () => refuse('pump-busy'),
      'scale.measured': none,
      'scale.calibrate': none,
      'scale.zero': none,
      'scale.history': none,
      'scale.restore': none,
      'probe.read': () => {
        throw new TypeError('a mistake in the firmware');
      },
      'probe.calibrate': none,
      'pump.run': ({ ms, reason }) => {
        this.done.push(`${reason} ${ms} ms`);
        return { uptimeMs: 1_000 * this.done.length };
      },
      'pump.state': none,
      'pump.stop': none,
      'pump.calibrate': none,
      'mark.set': ({ mark }) => {
        this.done.push(`mark ${mark}`);
        return { trayG: null, dryG: null, stage: null, note: null };
      },
      'stage.next': () => {
        this.done.push('next stage');
        return { stage: this.done.length };
      },
      'stage.stay': none,
      'alarm.list': () => ({ alarms: [] }),
      'alarm.accept': none,
      'alarm.clear': none,
      'alarm.shelve': none,
      'profile.slots': none,
      'profile.begin': none,
      'profile.chunk': none,
      'profile.commit': none,
      'profile.read': none,
      'journal.info': () => ({ first: 1, next: 9, boot: 2, uptimeMs: 77 }),
      'journal.page': ({ from }) => ({
        from,
        count: 0,
        data: 'A'.repeat(LINK_LIMITS.lineToHostBytes),
        first: 1,
        next: 1,
      }),
    };
  }
}

const INFO = { first: 1, next: 9, boot: 2, uptimeMs: 77 };
const request = (method: string, params: object, id: unknown = 1): string =>
  JSON.stringify({ jsonrpc: '2.0', id, method, params });

describe('a call', () => {
  it('is answered with its id, on the door it came by', () => {
    const board = new BoardEnd();
    expect(board.call('journal.info', {}, 'abc')).toEqual({
      jsonrpc: '2.0',
      id: 'abc',
      result: INFO,
    });
    board.answers(encodeLine(request('journal.info', {}, 5)), DOOR.uart);
    expect(board.replies.map(({ door, reply }) => [door, reply.id])).toEqual([
      [DOOR.usb, 'abc'],
      [DOOR.uart, 5],
    ]);
  });

  it('in pieces on one door is not mixed with one on the other', () => {
    const board = new BoardEnd();
    const line = encodeLine(request('journal.info', {}));
    board.receive(line.subarray(0, 20), DOOR.usb);
    board.receive(line.subarray(0, 30), DOOR.uart);
    board.receive(line.subarray(20), DOOR.usb);
    board.receive(line.subarray(30), DOOR.uart);
    expect(board.replies.map(({ reply }) => reply.result)).toEqual([INFO, INFO]);
  });

  it('without parameters may leave them out', () => {
    const board = new BoardEnd();
    const line = encodeLine('{"jsonrpc":"2.0","id":1,"method":"journal.info"}');
    expect(board.only(line).result).toEqual(INFO);
  });

  it('without an id is not done: nobody would learn how it went', () => {
    const board = new BoardEnd();
    const line = '{"jsonrpc":"2.0","method":"stage.next","params":{"token":5}}';
    expect(board.answers(encodeLine(line))).toEqual([]);
    expect(board.done).toEqual([]);
  });

  it('refused by the tray says why in a word, with the numbers that go with it; busy has its own code', () => {
    const board = new BoardEnd();
    expect(board.call('pump.state', {}).error).toEqual({
      code: RPC_ERROR.refused,
      message: 'weight-implausible',
      data: [3],
    });
    expect(board.call('scale.measure', { token: 1, samples: 5 }).error?.code).toBe(RPC_ERROR.busy);
  });

  it('that meets a mistake in the firmware is answered, and the mistake is recorded', () => {
    const board = new BoardEnd();
    expect(board.call('probe.read', {}).error?.code).toBe(RPC_ERROR.internal);
    expect(board.faults).toEqual(['probe.read']);
    expect(board.call('journal.info', {}).result).toEqual(INFO);
  });

  it('whose answer is too long for a line gets an error instead, and it is recorded', () => {
    const board = new BoardEnd();
    const { error } = board.call('journal.page', { from: 1, count: 1 });
    expect(error?.code).toBe(RPC_ERROR.internal);
    expect(board.faults).toEqual(['reply']);
  });
});

describe('a call that changes something', () => {
  it('is refused without its CRC; one that reads is answered', () => {
    const board = new BoardEnd();
    const typed = (text: string): Reply => board.only(encodeUtf8(`${text}\n`));
    const { error } = typed(request('stage.next', { token: 5 }));
    expect([error?.code, error?.message]).toEqual([RPC_ERROR.refused, 'no-crc']);
    expect(board.done).toEqual([]);
    expect(typed(request('journal.info', {})).result).toEqual(INFO);
    const chunk = typed(request('profile.chunk', { offset: 0, data: 'AAAA' }));
    expect(chunk.error?.message).toBe('no-crc');
  });

  it('is never done when a bit of its line was flipped on the way', () => {
    const line = encodeLine(request('pump.run', { token: 5, ms: 1000, reason: 'prime' }));
    holds(
      fc.property(fc.nat(line.length * 8 - 1), (bit) => {
        const board = new BoardEnd();
        const damaged = line.slice();
        damaged[bit >> 3] = (damaged[bit >> 3] ?? 0) ^ (1 << (bit & 7));
        board.receive(damaged);
        board.receive(encodeUtf8('\n'));
        expect(board.done).toEqual([]);
      }),
      { numRuns: 400 },
    );
  });

  it('repeated with its token gets the same answer and is done once, by the other door too', () => {
    const board = new BoardEnd();
    const first = board.call('stage.next', { token: 77 }, 1);
    const again = board.call('stage.next', { token: 77 }, 2);
    const [other] = board.answers(encodeLine(request('stage.next', { token: 77 }, 3)), DOOR.uart);
    expect([first.result, again.result, other?.result]).toEqual(Array(3).fill({ stage: 1 }));
    expect([again.id, other?.id]).toEqual([2, 3]);
    expect(board.done).toEqual(['next stage']);
    expect(board.call('stage.next', { token: 78 }).result).toEqual({ stage: 2 });
  });

  it('refused stays refused under its token: the answer does not depend on when it is repeated', () => {
    const board = new BoardEnd();
    const first = board.call('scale.measure', { token: 9, samples: 5 });
    expect(board.call('scale.measure', { token: 9, samples: 5 })).toEqual(first);
  });

  it('with the token of another method is refused', () => {
    const board = new BoardEnd();
    board.call('stage.next', { token: 77 });
    const { error } = board.call('mark.set', { token: 77, mark: 'sown' });
    expect(error?.code).toBe(RPC_ERROR.invalidParams);
    expect(board.done).toEqual(['next stage']);
  });

  it('is remembered while the last eight are, so any repeat within them is safe', () => {
    const tokens = fc.array(fc.integer({ min: 1, max: 12 }), { maxLength: 60, size: 'max' });
    holds(
      fc.property(tokens, (course) => {
        const board = new BoardEnd();
        let remembered: number[] = [];
        let times = 0;
        for (const token of course) {
          board.call('stage.next', { token });
          if (!remembered.includes(token)) {
            times++;
            remembered = [...remembered, token].slice(-LINK_LIMITS.rememberedTokens);
          }
          expect(board.done.length).toBe(times);
        }
      }),
    );
  });
});

describe('a line that is no call', () => {
  const board = new BoardEnd();
  const codeOf = (text: string): number | undefined => board.only(encodeLine(text)).error?.code;

  it('of a batch is refused as a whole', () => {
    const call = request('stage.next', { token: 1 });
    const { error, id } = board.only(encodeLine(`[${call},${call}]`));
    expect([error?.code, id]).toEqual([RPC_ERROR.invalidRequest, null]);
    expect(board.done).toEqual([]);
  });

  it('too long is told, and the next is answered', () => {
    const fits = LINK_LIMITS.lineToBoardBytes - encodeLine(request('journal.info', {})).length;
    const padded = (spaces: number) => encodeLine(request('journal.info', {}) + ' '.repeat(spaces));
    expect(board.only(padded(fits)).result).toEqual(INFO);
    expect(board.only(padded(fits + 1)).error?.code).toBe(RPC_ERROR.damagedLine);
    expect(board.call('journal.info', {}).result).toEqual(INFO);
  });

  it('with a wrong CRC, no text, no JSON, no object or no version is told what it is', () => {
    const wrong = encodeUtf8(`${request('journal.info', {})}*00000000\n`);
    expect(board.only(wrong).error?.code).toBe(RPC_ERROR.damagedLine);
    expect(board.only(Uint8Array.of(0xc3, 0x28, 0x0a)).error?.code).toBe(RPC_ERROR.parse);
    expect(codeOf('{"jsonrpc":"2.0",')).toBe(RPC_ERROR.parse);
    expect(codeOf('17')).toBe(RPC_ERROR.invalidRequest);
    expect(codeOf('null')).toBe(RPC_ERROR.invalidRequest);
    expect(codeOf('{"jsonrpc":"1.0","id":1,"method":"journal.info"}')).toBe(
      RPC_ERROR.invalidRequest,
    );
    expect(codeOf('{"jsonrpc":"2.0","id":1,"method":5}')).toBe(RPC_ERROR.invalidRequest);
    expect(codeOf('{"jsonrpc":"2.0","id":true,"method":"journal.info"}')).toBe(
      RPC_ERROR.invalidRequest,
    );
    expect(codeOf('{"jsonrpc":"2.0","id":1,"method":"journal.info","params":7}')).toBe(
      RPC_ERROR.invalidParams,
    );
  });

  it('is not answered when it is a reply: two boards on one cable must not talk for ever', () => {
    expect(board.answers(encodeLine('{"jsonrpc":"2.0","id":1,"result":{}}'))).toEqual([]);
    expect(board.answers(encodeLine('{"jsonrpc":"2.0","id":1,"error":{"code":1}}'))).toEqual([]);
  });

  it('nested deep, with lists, or with escapes is refused before it is parsed', () => {
    const deep = `{"jsonrpc":"2.0","id":4,"method":"x","params":${'{"id":'.repeat(60)}1${'}'.repeat(60)}}`;
    expect(codeOf(deep)).toBe(RPC_ERROR.invalidRequest);
    expect(codeOf('{"jsonrpc":"2.0","id":4,"method":"journal.info","params":[1]}')).toBe(
      RPC_ERROR.invalidRequest,
    );
  });
});

describe('a mistyped call', () => {
  const board = new BoardEnd();

  it('of a method that is not there is told so', () => {
    const { error } = board.call('jurnal.info', {});
    expect(error).toMatchObject({ code: RPC_ERROR.methodNotFound, message: 'unknown-method' });
  });

  it('of something every object has is no method', () => {
    for (const name of ['constructor', '__proto__', 'toString', 'hasOwnProperty']) {
      expect(board.call(name, {}).error?.code).toBe(RPC_ERROR.methodNotFound);
    }
  });

  it('with a parameter that is not there is refused, known elsewhere or not at all', () => {
    const { error } = board.call('pump.run', { token: 5, ms: 1_000, reson: 'prime' });
    expect(error).toMatchObject({ code: RPC_ERROR.invalidParams, message: 'unknown-name' });
    expect(board.call('stage.next', { token: 5, samples: 3 }).error).toEqual({
      code: RPC_ERROR.invalidParams,
      message: 'bad-parameter',
      data: ['samples'],
    });
  });

  it('with a value missing, or of the wrong type or range, hears which one', () => {
    const good = { token: 5, ms: 1_000, reason: 'prime' };
    const wrong: Record<string, unknown>[] = [
      { ms: '1000' },
      { ms: 1.5 },
      { ms: 0 },
      { ms: 1e9 },
      { ms: null },
      { ms: true },
      { reason: 'fun' },
      { reason: 3 },
      { token: 0 },
      { token: -1 },
      { token: '5' },
      { token: 2 ** 32 },
    ];
    const refused = (name: string | undefined) => ({
      code: RPC_ERROR.invalidParams,
      message: 'bad-parameter',
      data: [name],
    });
    for (const change of wrong) {
      const [name] = Object.keys(change);
      expect(board.call('pump.run', { ...good, ...change }).error).toEqual(refused(name));
    }
    for (const name of Object.keys(good)) {
      const { [name]: _, ...rest } = { ...good } as Record<string, unknown>;
      expect(board.call('pump.run', rest).error).toEqual(refused(name));
    }
    expect(board.done).toEqual([]);
    expect(board.call('pump.run', good).result).toEqual({ uptimeMs: 1_000 });
  });
});

describe('arbitrary bytes', () => {
  const piece = fc.oneof(
    fc.uint8Array({ maxLength: 1_200, size: 'max' }),
    fc
      .string({ unit: 'binary', maxLength: 60, size: 'max' })
      .map((text) => encodeUtf8(`${text}\n`)),
    fc.json({ maxDepth: 4 }).map(encodeLine),
    fc
      .record({
        jsonrpc: fc.constantFrom('2.0', 2),
        id: fc.oneof(fc.nat(), fc.string({ maxLength: 40, size: 'max' }), fc.constant(null)),
        method: fc.constantFrom(...Object.keys(METHOD_FIELDS), 'status', 7),
        params: fc.oneof(
          fc.dictionary(
            fc.constantFrom('token', 'ms', 'mark', 'from', 'count', 'x'),
            fc.jsonValue(),
          ),
          fc.jsonValue(),
        ),
      })
      .map((call) => encodeLine(JSON.stringify(call))),
    fc.constantFrom('{', '"', '\\', '[[[[[', '*', '\n', '{"id":1,').map(encodeUtf8),
  );

  it('never make the board throw, nor answer more often than once a line, nor stop it from answering', () => {
    holds(
      fc.property(fc.array(piece, { maxLength: 12 }), (pieces) => {
        const board = new BoardEnd();
        for (const bytes of pieces) board.receive(bytes);
        board.receive(encodeUtf8('\n'));
        const newlines = pieces.reduce((sum, p) => sum + p.filter((b) => b === 0x0a).length, 1);
        expect(board.replies.length).toBeLessThanOrEqual(newlines);
        expect(board.call('journal.info', {}).result).toEqual(INFO);
      }),
      { numRuns: 300 },
    );
  });
});
