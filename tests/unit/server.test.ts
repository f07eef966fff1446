/** Calls that the link server answers: once each, on their own door. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DOOR } from '../../shared/board/map';
import { encodeUtf8 } from '../../shared/bytes';
import { encodeLine } from '../../shared/link/framing';
import { LINK_LIMITS, RPC_ERROR } from '../../shared/link/methods';
import { holds } from '../properties';
import { BoardEnd, INFO, type Reply, request } from './board-end';

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
