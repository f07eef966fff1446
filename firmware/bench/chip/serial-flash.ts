/**
 * The flash chip as the serial interface sees it: status, write enable, erases, kind and unique number (W25Q16JV
 * data sheet, section 8), and the moment the interface is in mapped mode again. Pages are programmed by the ROM alone.
 */
import { BasePeripheral, type RP2040 } from 'rp2040js';
import { ImageError } from './bus';
import type { SectorErase } from './sector-erase';

const CTRLR0 = 0x00;
const CTRLR1 = 0x04;
const SSIENR = 0x08;
const BAUDR = 0x14;
const SR = 0x28;
const DR0 = 0x60;
const RX_SAMPLE_DLY = 0xf0;
const SPI_CTRLR0 = 0xf4;
const SR_IDLE = (1 << 1) | (1 << 2);
const SR_RFNE = 1 << 3;

const COMMAND = {
  writeStatus: 0x01,
  readStatus1: 0x05,
  writeEnable: 0x06,
  eraseSector: 0x20,
  readStatus2: 0x35,
  uniqueId: 0x4b,
  suspend: 0x75,
  resume: 0x7a,
  jedecId: 0x9f,
  quadRead: 0xeb,
} as const;
const BUSY = 1 << 0;
const QUAD_ENABLE = 1 << 1;
const SUSPENDED = 1 << 7;
const ADDRESS_BYTES = 3;
/** What a chip that erases takes; it pays no attention to others. */
const WHILE_BUSY: ReadonlySet<number> = new Set([
  COMMAND.readStatus1,
  COMMAND.readStatus2,
  COMMAND.suspend,
]);
const CONTINUOUS_READ = 0xa0;
const UNIQUE_ID_DUMMY_BYTES = 4;
/** Standard frames of 8 bits, in and out at once. */
const COMMAND_CTRLR0 = 7 << 16;
/** Quad frames, 32 bits, "EEPROM read"; continuous reads without a command, address on four lines. */
const MAPPED_CTRLR0 = (2 << 21) | (31 << 16) | (3 << 8);
const MAPPED_SPI_CTRLR0 = ((CONTINUOUS_READ << 24) | (4 << 11) | (8 << 2) | 2) >>> 0;

/** The read that turns continuous reads on: command, address and mode bits, and four cycles to wait. */
const ENTER_SPI_CTRLR0 = (4 << 11) | (2 << 8) | (8 << 2) | 1;

/** What the interface is wired to. */
export interface FlashEnd {
  /** Non-volatile: whether the four data lines are in use. */
  readonly status: { quadEnabled: boolean };
  readonly jedec: readonly number[];
  readonly uniqueId: readonly number[];
  readonly erase: SectorErase;
  readonly elapse: (nanos: number) => void;
  /** Told by how much the processor's clock is divided for the flash. */
  readonly onMapped: (clockDivider: number) => void;
}

export class SerialFlash extends BasePeripheral {
  private readonly registers = new Map<number, number>();
  private readonly replies: number[] = [];
  private message: number[] = [];
  private writeEnabled = false;
  private selected = false;
  private continuous = false;

  constructor(
    chip: RP2040,
    private readonly end: FlashEnd,
  ) {
    super(chip, 'SSI');
  }

  /** The ROM leaves mapped mode: plain commands of 8 bits, and the flash ends continuous reads. */
  leaveMapped(): void {
    this.registers.set(CTRLR0, COMMAND_CTRLR0);
    this.continuous = false;
    this.replies.length = 0;
    this.message = [];
  }

  /** Chip select forced low or released by hand: a message begins or ends. */
  select(low: boolean): void {
    const { message } = this;
    this.selected = low;
    this.message = [];
    if (!low) this.obey(message);
  }

  override readUint32(offset: number): number {
    switch (offset) {
      case SR:
        return SR_IDLE | (this.replies.length > 0 ? SR_RFNE : 0);
      case DR0:
        return this.replies.shift() ?? 0;
      default:
        return this.registers.get(offset) ?? 0;
    }
  }

  override writeUint32(offset: number, value: number): void {
    switch (offset) {
      case DR0:
        this.transfer(value);
        return;
      case SSIENR:
        this.registers.set(offset, value);
        this.message = [];
        this.replies.length = 0;
        if (value === 1) this.checkMapped();
        return;
      case BAUDR:
        // The serial interface takes even dividers alone, and 0 stops it (RP2040 data sheet 4.10.13).
        if (value < 2 || value % 2 !== 0) throw new ImageError(`Flash clock divided by ${value}.`);
        this.registers.set(offset, value);
        return;
      case CTRLR0:
      case CTRLR1:
      case RX_SAMPLE_DLY:
      case SPI_CTRLR0:
        this.registers.set(offset, value);
        return;
      default:
        super.writeUint32(offset, value);
    }
  }

  private transfer(value: number): void {
    const quad = (this.registers.get(CTRLR0) ?? 0) >>> 21 === 2;
    this.message.push(value);
    if (quad) {
      if (this.registers.get(SPI_CTRLR0) !== ENTER_SPI_CTRLR0) {
        throw new ImageError('A quad read without its mode bits, or without its wait cycles.');
      }
      const [command, mode] = this.message;
      this.continuous = command === COMMAND.quadRead && mode === CONTINUOUS_READ;
      return;
    }
    this.replies.push(this.reply(this.message));
  }

  /** The chip does what it was told once it is no more selected. */
  private obey([command, ...rest]: readonly number[]): void {
    const { erase, elapse } = this.end;
    switch (command) {
      case COMMAND.eraseSector: {
        const offset = rest.reduce((sum, byte) => (sum << 8) | byte, 0);
        if (rest.length !== ADDRESS_BYTES) throw new ImageError('Flash erase without its address.');
        if (!this.writeEnabled) throw new ImageError('Flash erase that was not enabled before.');
        this.writeEnabled = false;
        erase.begin(offset, elapse);
        return;
      }
      case COMMAND.suspend:
        erase.suspend();
        return;
      case COMMAND.resume:
        erase.resume();
    }
  }

  private reply(message: readonly number[]): number {
    const { status, erase, uniqueId, jedec } = this.end;
    const [command = 0] = message;
    const at = message.length - 1;
    if (erase.isBusy && !WHILE_BUSY.has(command)) {
      throw new ImageError(`Command 0x${command.toString(16)} to a flash chip that erases.`);
    }
    switch (command) {
      case COMMAND.writeEnable:
        this.writeEnabled = true;
        this.message = [];
        return 0;
      case COMMAND.readStatus1:
        if (at === 1) this.message = [];
        return at === 1 && erase.isBusy ? BUSY : 0;
      case COMMAND.readStatus2:
        if (at === 1) this.message = [];
        if (at !== 1) return 0;
        return (status.quadEnabled ? QUAD_ENABLE : 0) | (erase.isSuspended ? SUSPENDED : 0);
      case COMMAND.writeStatus:
        if (at === 2) {
          if (this.writeEnabled) status.quadEnabled = ((message[2] ?? 0) & QUAD_ENABLE) !== 0;
          this.writeEnabled = false;
          this.message = [];
        }
        return 0;
      case COMMAND.eraseSector:
      case COMMAND.suspend:
      case COMMAND.resume:
        return 0;
      case COMMAND.uniqueId:
        return this.selected ? (uniqueId[at - 1 - UNIQUE_ID_DUMMY_BYTES] ?? 0) : 0;
      case COMMAND.jedecId:
        return this.selected ? (jedec[at - 1] ?? 0) : 0;
      default:
        throw new ImageError(`Command 0x${command.toString(16)}, which this flash chip has not.`);
    }
  }

  private checkMapped(): void {
    const isMapped =
      this.registers.get(CTRLR0) === MAPPED_CTRLR0 &&
      this.registers.get(SPI_CTRLR0) === MAPPED_SPI_CTRLR0 &&
      this.continuous &&
      this.end.status.quadEnabled;
    if (!isMapped) return;
    if (this.end.erase.isBusy) throw new ImageError('Mapped mode of a flash chip that erases.');
    this.end.onMapped(this.registers.get(BAUDR) ?? 0);
  }
}
