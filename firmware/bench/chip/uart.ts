/**
 * UART0 with its FIFOs, levels, errors and the time a byte takes on the wire, which the emulator's own UART
 * leaves out (RP2040 data sheet 4.2; PL011 manual, DDI 0183). 8 data bits, no parity, 1 stop bit.
 */
import { BasePeripheral, type RP2040 } from 'rp2040js';
import { PINS } from '../../../shared/board/map';
import type { ChipClock } from './clock';
import { mustBeUart } from './pads';

const UARTDR = 0x00;
const UARTRSR = 0x04;
const UARTFR = 0x18;
const UARTIBRD = 0x24;
const UARTFBRD = 0x28;
const UARTLCR_H = 0x2c;
const UARTCR = 0x30;
const UARTIFLS = 0x34;
const UARTIMSC = 0x38;
const UARTMIS = 0x40;
const UARTICR = 0x44;
const FR_TXFE = 1 << 7;
const FR_RXFF = 1 << 6;
const FR_TXFF = 1 << 5;
const FR_RXFE = 1 << 4;
const FR_BUSY = 1 << 3;
const CR_RECEIVES = (1 << 9) | (1 << 0);
const INT_RX = 1 << 4;
const INT_TX = 1 << 5;
const INT_RX_TIMEOUT = 1 << 6;
const FIFO_BYTES = 32;
const BITS_PER_BYTE = 10;
/** The receive timeout comes after 32 bit times of silence. */
const TIMEOUT_BITS = 32;
const IRQ = 20;
/** What the data register tells of a character beside its byte; the status register tells the same, further down. */
const ERRORS_LSB = 8;
export const CHARACTER_ERROR = {
  framing: 1 << ERRORS_LSB,
  parity: 1 << (ERRORS_LSB + 1),
  break: 1 << (ERRORS_LSB + 2),
  overrun: 1 << (ERRORS_LSB + 3),
} as const;
/** A line that is low for a whole character has no stop bit either. */
const BREAK_CHARACTER = CHARACTER_ERROR.break | CHARACTER_ERROR.framing;
/** Levels of UARTIFLS, bytes of 32. */
const LEVELS = [4, 8, 16, 24, 28] as const;

export class Uart extends BasePeripheral {
  /** A byte has left the chip. */
  onSent: (byte: number) => void = () => {};
  /** Bytes that came while the receive FIFO was full, and are lost. */
  overruns = 0;
  private readonly registers = new Map<number, number>();
  /** Bytes with their errors. */
  private readonly receiving: number[] = [];
  private readonly sending: number[] = [];
  private readonly towardsChip: number[] = [];
  /** Something was lost since the last character that found room. */
  private hasLost = false;
  private status = 0;
  private isLow = false;
  private mask = 0;
  private raw = 0;
  private readonly sendAlarm;
  private readonly receiveAlarm;
  private readonly timeoutAlarm;
  private readonly breakAlarm;
  private isSending = false;
  private isReceiving = false;

  constructor(
    private readonly chip: RP2040,
    clock: ChipClock,
  ) {
    super(chip, 'UART0');
    this.sendAlarm = clock.createAlarm(() => this.sent());
    this.receiveAlarm = clock.createAlarm(() => this.arrived());
    this.breakAlarm = clock.createAlarm(() => this.take(BREAK_CHARACTER));
    this.timeoutAlarm = clock.createAlarm(() => this.interrupt(INT_RX_TIMEOUT));
  }

  /**
   * Puts bytes on the wire towards the chip, one after the other at the line's speed, each with these errors. What is said
   * while the line is low is lost.
   */
  write(bytes: Uint8Array, errors = 0): void {
    if (this.isLow) return;
    for (const byte of bytes) this.towardsChip.push(byte | errors);
    if (!this.isReceiving && this.towardsChip.length > 0) {
      this.isReceiving = true;
      this.receiveAlarm.schedule(this.byteNanos);
    }
  }

  /** Holds the line towards the chip low, a break that lasts, or lets it go. However long, it is one character. */
  set low(low: boolean) {
    this.isLow = low;
    this.breakAlarm.cancel();
    if (!low) return;
    this.towardsChip.length = 0;
    this.isReceiving = false;
    this.receiveAlarm.cancel();
    this.breakAlarm.schedule(this.byteNanos);
  }

  /** Bytes still on their way to the chip. */
  get onTheWay(): number {
    return this.towardsChip.length;
  }

  override readUint32(offset: number): number {
    switch (offset) {
      case UARTDR: {
        const character = this.receiving.shift() ?? 0;
        this.status = character >>> ERRORS_LSB;
        if (this.receiving.length < this.receiveLevel) this.clear(INT_RX);
        if (this.receiving.length === 0) this.clear(INT_RX_TIMEOUT);
        return character;
      }
      case UARTRSR:
        return this.status;
      case UARTFR:
        return this.flags;
      case UARTIMSC:
        return this.mask;
      case UARTMIS:
        return this.raw & this.mask;
      case UARTCR:
      case UARTLCR_H:
      case UARTIFLS:
      case UARTIBRD:
      case UARTFBRD:
        return this.registers.get(offset) ?? 0;
      default:
        return super.readUint32(offset);
    }
  }

  override writeUint32(offset: number, value: number): void {
    switch (offset) {
      case UARTDR:
        this.queue(value & 0xff);
        return;
      case UARTRSR:
        this.status = 0;
        return;
      case UARTIMSC:
        this.mask = value;
        this.update();
        return;
      case UARTICR:
        this.clear(this.rawWriteValue);
        return;
      case UARTCR:
        this.registers.set(offset, value);
        // A line that is low when the image begins to listen is a break as well.
        if (this.isLow) this.breakAlarm.schedule(this.byteNanos);
        return;
      case UARTLCR_H:
      case UARTIFLS:
      case UARTIBRD:
      case UARTFBRD:
        this.registers.set(offset, value);
        return;
      default:
        super.writeUint32(offset, value);
    }
  }

  /** Bits per second that the image has set. */
  get baud(): number {
    const divider = (this.registers.get(UARTIBRD) ?? 0) + (this.registers.get(UARTFBRD) ?? 0) / 64;
    return divider > 0 ? this.chip.clkPeri / (16 * divider) : 0;
  }

  private get byteNanos(): number {
    return this.baud > 0 ? (BITS_PER_BYTE * 1e9) / this.baud : 1e6;
  }

  private get flags(): number {
    return (
      (this.sending.length === 0 ? FR_TXFE : 0) |
      (this.sending.length >= FIFO_BYTES ? FR_TXFF : 0) |
      (this.receiving.length === 0 ? FR_RXFE : 0) |
      (this.receiving.length >= FIFO_BYTES ? FR_RXFF : 0) |
      (this.isSending ? FR_BUSY : 0)
    );
  }

  private get receiveLevel(): number {
    return LEVELS[((this.registers.get(UARTIFLS) ?? 0) >> 3) & 7] ?? 16;
  }

  private get sendLevel(): number {
    return LEVELS[(this.registers.get(UARTIFLS) ?? 0) & 7] ?? 16;
  }

  private queue(byte: number): void {
    if (this.sending.length >= FIFO_BYTES) {
      this.error('byte written to a full transmit FIFO');
      return;
    }
    this.sending.push(byte);
    if (!this.isSending) {
      this.isSending = true;
      this.sendAlarm.schedule(this.byteNanos);
    }
  }

  private sent(): void {
    mustBeUart(this.chip, PINS.linkTx, 'out');
    const byte = this.sending.shift();
    if (byte !== undefined) this.onSent(byte);
    this.isSending = this.sending.length > 0;
    if (this.isSending) this.sendAlarm.schedule(this.byteNanos);
    if (this.sending.length === this.sendLevel) this.interrupt(INT_TX);
  }

  private arrived(): void {
    const character = this.towardsChip.shift() ?? 0;
    this.isReceiving = this.towardsChip.length > 0;
    if (this.isReceiving) this.receiveAlarm.schedule(this.byteNanos);
    this.take(character);
  }

  private take(character: number): void {
    this.receive(character);
    if (this.receiving.length >= this.receiveLevel) this.interrupt(INT_RX);
    this.timeoutAlarm.schedule((this.byteNanos * TIMEOUT_BITS) / BITS_PER_BYTE);
  }

  /** What comes before the image listens is lost, as from a laptop that speaks to a board that restarts. */
  private receive(character: number): void {
    if (((this.registers.get(UARTCR) ?? 0) & CR_RECEIVES) !== CR_RECEIVES) return;
    mustBeUart(this.chip, PINS.linkRx, 'in');
    if (this.receiving.length < FIFO_BYTES) {
      this.receiving.push(character | (this.hasLost ? CHARACTER_ERROR.overrun : 0));
      this.hasLost = false;
    } else {
      this.overruns += 1;
      this.hasLost = true;
    }
  }

  private interrupt(bits: number): void {
    if (bits === INT_RX_TIMEOUT && this.receiving.length === 0) return;
    this.raw |= bits;
    this.update();
  }

  private clear(bits: number): void {
    this.raw &= ~bits;
    this.update();
  }

  private update(): void {
    this.chip.setInterrupt(IRQ, (this.raw & this.mask) !== 0);
  }
}
