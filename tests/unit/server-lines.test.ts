/** What the link server makes of lines that are no call, or a mistyped one. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../shared/bytes';
import { encodeLine } from '../../shared/link/framing';
import { LINK_LIMITS, RPC_ERROR } from '../../shared/link/methods';
import { METHOD_FIELDS } from '../../shared/link/params';
import { anyCharacter } from '../any-text';
import { holds } from '../properties';
import { BoardEnd, INFO, request } from './board-end';

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
      .string({ unit: anyCharacter, maxLength: 60, size: 'max' })
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
