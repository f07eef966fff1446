/** Small register blocks that the emulator lacks or leaves without effect. */
import { BasePeripheral, type RP2040 } from 'rp2040js';

const RESETS_RESET = 0x00;
const RESETS_RESET_DONE = 0x08;
const ALL = 0x1ffffff;
/** Peripherals the image uses, by bit of RESETS (RP2040 data sheet 2.14.1) and page of address. */
const HELD = [
  { name: 'ADC', bit: 0, page: 0x4004c },
  { name: 'IO_BANK0', bit: 5, page: 0x40014 },
  { name: 'PADS_BANK0', bit: 8, page: 0x4001c },
  { name: 'PLL_SYS', bit: 12, page: 0x40028 },
  { name: 'PLL_USB', bit: 13, page: 0x4002c },
  { name: 'TIMER', bit: 21, page: 0x40054 },
  { name: 'UART0', bit: 22, page: 0x40034 },
  { name: 'USBCTRL', bit: 24, page: 0x50100 },
  { name: 'USBCTRL', bit: 24, page: 0x50110 },
] as const;

/** RESETS: after every start all peripherals are held, and using a held one is a mistake. */
export class Resets extends BasePeripheral {
  private held = ALL;
  /** The last page of each. */
  private readonly byName = new Map<string, number>(HELD.map(({ name, page }) => [name, page]));
  private readonly byPage = new Map<number, (typeof HELD)[number]>(
    HELD.map((peripheral) => [peripheral.page, peripheral]),
  );

  /** `onHeld`: this peripheral begins anew. */
  constructor(
    chip: RP2040,
    private readonly onHeld: (name: string) => void = () => {},
  ) {
    super(chip, 'RESETS');
  }

  /** The bit of `isHeld` that holds the peripheral at this address in reset, 0 where none does; and its name. */
  holderAt(address: number): { readonly mask: number; readonly name: string } {
    const peripheral = this.byPage.get((address >>> 14) << 2);
    return {
      mask: peripheral === undefined ? 0 : 1 << peripheral.bit,
      name: peripheral?.name ?? '',
    };
  }

  isHeld(mask: number): boolean {
    return (this.held & mask) !== 0;
  }

  override readUint32(offset: number): number {
    if (offset === RESETS_RESET) return this.held;
    return offset === RESETS_RESET_DONE ? ~this.held & ALL : super.readUint32(offset);
  }

  override writeUint32(offset: number, value: number): void {
    if (offset !== RESETS_RESET) {
      super.writeUint32(offset, value);
      return;
    }
    const anew = value & ~this.held;
    this.held = value & ALL;
    for (const { name, bit, page } of HELD) {
      if ((anew & (1 << bit)) !== 0 && page === this.byName.get(name)) this.onHeld(name);
    }
  }
}

/** VREG_AND_CHIP_RESET: tells whether the supply came up or only the watchdog bit. */
export class ChipReset extends BasePeripheral {
  private static readonly CHIP_RESET = 0x08;
  private static readonly HAD_POR = 1 << 8;

  constructor(
    chip: RP2040,
    private readonly poweredOn: boolean,
  ) {
    super(chip, 'VREG_AND_CHIP_RESET');
  }

  override readUint32(offset: number): number {
    if (offset !== ChipReset.CHIP_RESET) return super.readUint32(offset);
    return this.poweredOn ? ChipReset.HAD_POR : 0;
  }
}

/** IO_QSPI: only the forcing of the flash's chip select matters. */
export class QspiPins extends BasePeripheral {
  private static readonly GPIO_QSPI_SS_CTRL = 0x0c;
  /** OUTOVER: 2 drives the output low whatever the serial interface says. */
  private static readonly OUTOVER_LSB = 8;
  private static readonly OUTOVER_LOW = 2;
  private control = 0;

  constructor(
    chip: RP2040,
    private readonly onSelect: (forcedLow: boolean) => void,
  ) {
    super(chip, 'IO_QSPI');
  }

  override readUint32(offset: number): number {
    return offset === QspiPins.GPIO_QSPI_SS_CTRL ? this.control : super.readUint32(offset);
  }

  override writeUint32(offset: number, value: number): void {
    if (offset !== QspiPins.GPIO_QSPI_SS_CTRL) {
      super.writeUint32(offset, value);
      return;
    }
    this.control = value;
    this.onSelect(((value >>> QspiPins.OUTOVER_LSB) & 3) === QspiPins.OUTOVER_LOW);
  }

  /** The ROM's cache flush ends the forcing. */
  release(): void {
    this.writeUint32(QspiPins.GPIO_QSPI_SS_CTRL, 0);
  }
}
