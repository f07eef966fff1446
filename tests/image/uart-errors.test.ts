/** What can be wrong with single bytes on UART0's line, and with the line: it costs a line at most, and nothing else. */
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { CHARACTER_ERROR } from '../../firmware/bench/chip/uart';
import { Random } from '../../firmware/bench/random';
import { DOOR } from '../../shared/board/map';
import { LINE_OVERHEAD_BYTES } from '../../shared/link/framing';
import { RPC_ERROR } from '../../shared/link/methods';
import { MINUTE_MS } from '../../shared/units/time';
import { FRESH_SEED } from '../properties';
import { BUILD_LIMIT_MS, cannotBuild } from './images';
import { inService, type TrayInHeat } from './link-scene';
import type { Talk } from './talk';

const HELD_MINUTES = 2;
const { framing, parity } = CHARACTER_ERROR;
const KINDS = [
  ['without its stop bit', framing],
  ['of wrong parity', parity],
] as const;

const codes = (talk: Talk) => talk.replies.map(({ error }) => error?.code);

describe.skipIf(cannotBuild)('a tray at work goes on', { timeout: BUILD_LIMIT_MS }, () => {
  let tray: TrayInHeat;
  beforeAll(async () => {
    tray = await inService(DOOR.uart);
  }, BUILD_LIMIT_MS);
  afterEach(() => tray.expectUnharmed());
  afterAll(() => tray.expectNothingKept(), BUILD_LIMIT_MS);

  const holdLow = (ms: number): void => {
    tray.chip.holdUartLow(true);
    tray.chip.run(ms);
    tray.chip.holdUartLow(false);
  };
  /** The line as a program sends it, a byte of it wrong. */
  const sayWrong = (line: Uint8Array, at: number, errors: number): void => {
    const { chip } = tray;
    chip.writeUart(line.subarray(0, at));
    chip.writeUart(line.subarray(at, at + 1), errors);
    chip.writeUart(line.subarray(at + 1));
  };

  it('after a break between two lines: the next one is answered, and nothing is complained of', () => {
    const talk = tray.talk();
    holdLow(1);
    expect(talk.call('status.read')).toBeDefined();
    expect(codes(talk)).toEqual([undefined]);
  });

  it('after a break in the middle of a line: that one is complained of, the next one is answered', () => {
    const talk = tray.talk();
    talk.say(talk.request('status.read').line.subarray(0, 30));
    tray.digest();
    holdLow(1);
    expect(talk.call('status.read')).toBeDefined();
    expect(codes(talk)).toEqual([RPC_ERROR.parse, undefined]);
  });

  it('while the line is held low for minutes, and does no more work than otherwise', () => {
    const { chip } = tray;
    const talk = tray.talk();
    const work = (act: () => void): number => {
      const before = chip.instructions;
      act();
      return chip.instructions - before;
    };
    const quiet = work(() => chip.run(HELD_MINUTES * MINUTE_MS));
    const held = work(() => holdLow(HELD_MINUTES * MINUTE_MS));
    expect(held / quiet).toBeLessThan(1.05);
    expect(talk.call('status.read')).toBeDefined();
    expect(codes(talk)).toEqual([undefined]);
  });

  it.each(KINDS)('when a byte %s comes in a line: that line is one complaint', (_what, errors) => {
    const talk = tray.talk();
    const { line } = talk.request('status.read');
    // The third is the one before its CRC: what came before would be a request without one.
    for (const at of [0, 20, line.length - LINE_OVERHEAD_BYTES]) {
      sayWrong(line, at, errors);
      tray.digest();
    }
    expect(codes(talk)).toEqual([RPC_ERROR.damagedLine, RPC_ERROR.parse, RPC_ERROR.parse]);
    expect(talk.call('status.read')).toBeDefined();
  });

  it.each(KINDS)('when a byte %s comes between lines: it is none', (_what, errors) => {
    const talk = tray.talk();
    tray.chip.writeUart(Uint8Array.of(0x78), errors);
    expect(talk.call('status.read')).toBeDefined();
    expect(codes(talk)).toEqual([undefined]);
  });

  it('through seconds of noise', () => {
    const talk = tray.talk();
    const random = new Random(FRESH_SEED);
    for (let i = 0; i < 20_000; i += 1) {
      const errors = random.bits() % 2 === 0 ? framing : 0;
      tray.chip.writeUart(Uint8Array.of(random.bits()), errors);
    }
    talk.say('\n');
    tray.digest();
    expect(talk.damaged).toEqual([]);
    expect(codes(talk)).not.toContain(undefined);
    expect(talk.call('status.read')).toBeDefined();
  });
});
