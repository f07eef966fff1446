/** The flash as one run of the processor finds it: mapped, by plain commands, and by the functions of the ROM. */
import type { RP2040 } from 'rp2040js';
import type { StrictBus } from './bus';
import type { ChipClock } from './clock';
import { QspiPins } from './registers';
import { Rom, type RomHooks } from './rom';
import { SerialFlash } from './serial-flash';
import type { Surroundings } from './surroundings';

const PERIPHERAL = { serialFlash: 0x18000, qspiPins: 0x40018 } as const;

interface Processor {
  readonly rp2040: RP2040;
  readonly bus: StrictBus;
  readonly clock: ChipClock;
  /** The flash is mapped, the processor's clock divided by so much for it. */
  onMapped(divider: number): void;
  readonly enterBootDrive: RomHooks['enterBootDrive'];
}

/** Puts the serial interface and its pins in their places; the ROM, whose functions go by them. */
export function fitFlash(
  { rp2040, bus, clock, onMapped, enterBootDrive }: Processor,
  { flash, flashTimes, flashStatus, flashId, erase }: Surroundings,
): Rom {
  const serial = new SerialFlash(rp2040, {
    status: flashStatus,
    jedec: flash.chip.jedec,
    uniqueId: flashId,
    erase,
    elapse: (nanos) => clock.tick(nanos),
    onMapped: (divider) => {
      rom.enterMapped();
      bus.mapped = true;
      bus.halfErased = erase.suspendedOffset;
      onMapped(divider);
    },
  });
  const qspi = new QspiPins(rp2040, (low) => serial.select(low));
  rp2040.peripherals[PERIPHERAL.serialFlash] = serial;
  rp2040.peripherals[PERIPHERAL.qspiPins] = qspi;
  const rom = new Rom(rp2040, {
    bus,
    flash,
    flashTimes,
    clock,
    leaveMapped: () => serial.leaveMapped(),
    releaseSelect: () => qspi.release(),
    enterBootDrive,
  });
  return rom;
}
