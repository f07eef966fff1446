/** The emulated UART tells of errors on its line what the PL011's manual says. */
import { RP2040 } from 'rp2040js';
import { describe, expect, it } from 'vitest';
import { ChipClock } from '../../firmware/bench/chip/clock';
import { CHARACTER_ERROR, Uart } from '../../firmware/bench/chip/uart';
import { PINS } from '../../shared/board/map';

const DR = 0x00;
const RSR = 0x04;
const FR = 0x18;
const IBRD = 0x24;
const CR = 0x30;
const LISTENS = (1 << 9) | (1 << 0);
const FR_RXFE = 1 << 4;
const FUNCSEL_UART = 2;
const PAD_INPUT = 1 << 6;
const FIFO_BYTES = 32;
const SECOND_NANOS = 1e9;

const chip = new RP2040();
const pin = chip.gpio[PINS.linkRx];
if (pin !== undefined) Object.assign(pin, { ctrl: FUNCSEL_UART, padValue: PAD_INPUT });

function line() {
  const clock = new ChipClock();
  const uart = new Uart(chip, clock);
  uart.writeUint32(IBRD, 68);
  uart.writeUint32(CR, LISTENS);
  return {
    uart,
    say: (bytes: readonly number[], errors = 0): void => {
      uart.write(Uint8Array.from(bytes), errors);
      clock.tick(SECOND_NANOS);
    },
    wait: () => clock.tick(60 * SECOND_NANOS),
    /** All that has come. */
    read(): number[] {
      const characters: number[] = [];
      while ((uart.readUint32(FR) & FR_RXFE) === 0) characters.push(uart.readUint32(DR));
      return characters;
    },
  };
}

const { framing, parity, break: broken, overrun } = CHARACTER_ERROR;

describe('the emulated UART', () => {
  it('tells what is wrong with a character beside its byte, and in its status until that is cleared', () => {
    const { uart, say, read } = line();
    say([0x41]);
    say([0x42], framing);
    say([0x43], parity);
    expect(read()).toEqual([0x41, 0x142, 0x243]);
    expect(uart.readUint32(RSR)).toBe(0b10);
    uart.writeUint32(RSR, 0);
    expect(uart.readUint32(RSR)).toBe(0);
  });

  it('makes one character of a break, however long, and hears nothing meanwhile', () => {
    const { uart, say, wait, read } = line();
    uart.low = true;
    say([0x41]);
    wait();
    expect(read()).toEqual([broken | framing]);
    uart.low = false;
    say([0x42]);
    expect(read()).toEqual([0x42]);
  });

  it('hears a break when it begins to listen to a line that is low', () => {
    const { uart, wait, read } = line();
    uart.writeUint32(CR, 0);
    uart.low = true;
    wait();
    expect(read()).toEqual([]);
    uart.writeUint32(CR, LISTENS);
    wait();
    expect(read()).toEqual([broken | framing]);
  });

  it('tells of lost characters with the next one that finds room', () => {
    const { uart, say, read } = line();
    say(new Array(FIFO_BYTES + 3).fill(0x41));
    expect(read()).toEqual(new Array(FIFO_BYTES).fill(0x41));
    expect(uart.overruns).toBe(3);
    say([0x42, 0x43]);
    expect(read()).toEqual([overrun | 0x42, 0x43]);
  });
});
