/**
 * One run of the processor, from power-up or a watchdog restart to the next: the emulator with every
 * peripheral as it is after a reset.
 */
import { GPIOPinState, RP2040 } from 'rp2040js';
import { PINS } from '../../../shared/board/map';
import { wireAdc } from './adc';
import { BridgeConverter } from './bridge';
import { BusFault, ImageError, StrictBus } from './bus';
import { ChipClock } from './clock';
import { ClockTree } from './clock-tree';
import { Execution, INSTRUCTION_BYTES } from './execution';
import { fitFlash } from './flash-side';
import { mendInstructions, mendInterrupts, mendSysTick } from './mended-core';
import { mustBeAnalog, wireOutputs } from './pads';
import { ChipReset, Resets } from './registers';
import type { Rom } from './rom';
import {
  type BootDriveCall,
  DRIVEN,
  OUTPUTS,
  type OutputName,
  type Surroundings,
} from './surroundings';
import { Uart } from './uart';
import { UsbHost } from './usb-host';
import { WATCHDOG_REASON, Watchdog, type WatchdogMemory } from './watchdog';
import { XipCache } from './xip-cache';

const PERIPHERAL = {
  resets: 0x4000c,
  uart: 0x40034,
  watchdog: 0x40058,
  chipReset: 0x40064,
  usb: 0x50110,
} as const;

/** Scratch register that tells the ROM to start something else than the flash. */
const ROM_ENTRY_SCRATCH = 4;
/** The timer's mask of interrupts that it makes (RP2040 data sheet 4.6). */
const TIMER_INTE = 0x40054038;

/** The emulator's flash, 16 MB, is not looked at: the board's is elsewhere. So it is not erased at each start. */
class Processor extends RP2040 {
  override reset(): void {
    this.core.reset();
    this.pwm.reset();
  }
}

export class Machine {
  readonly rp2040: RP2040;
  readonly usb: UsbHost;
  readonly uart: Uart;
  readonly bridge: BridgeConverter;
  /** Set when the watchdog has bitten: this run is over. */
  bitten: WatchdogMemory | null = null;
  /** Set with it when the ROM was asked for its drive: with what (data sheet 2.8.3.1.5). */
  bootDriveCall: BootDriveCall | null = null;
  readonly execution: Execution;
  private readonly clock = new ChipClock();
  private readonly bus: StrictBus;
  private readonly clocks: ClockTree;
  /** The processor's clock is divided by so much for the flash, once it is mapped. */
  private flashDivider = 0;
  /** Words that caches have read which are no more. */
  private missedBefore = 0;

  constructor(private readonly around: Surroundings) {
    const { clock } = this;
    const rp2040 = new Processor(clock);
    this.rp2040 = rp2040;
    const { memory } = around.executor;
    memory.lendTo(rp2040);
    const resets = new Resets(rp2040, (name) => {
      if (name === 'USBCTRL') this.usb.controller.startAfresh();
    });
    const bus = new StrictBus(rp2040, memory, resets, around.writableFlash);
    bus.breakage = around.breakage;
    this.bus = bus;
    const onFault = (fault: BusFault): void => around.onFault(fault);
    const execution = new Execution({ rp2040, clock, bus, executor: around.executor, onFault });
    this.execution = execution;
    this.clocks = new ClockTree(
      rp2040,
      clock,
      () => around.crystalRate(),
      (mhz) => {
        execution.clockMhz = mhz;
      },
    );
    rp2040.logger = { debug() {}, info() {}, warn: this.complain, error: this.complain };
    this.uart = new Uart(rp2040, clock);
    this.uart.onSent = (byte) => around.onUartByte(byte);
    const complainOfUsb = (complaint: string) => around.onComplaint(`USB: ${complaint}`);
    this.usb = new UsbHost(rp2040, clock, complainOfUsb, () => this.clocks.mustRun('USB'));
    this.usb.onData = (bytes) => around.onUsbData(bytes);
    const pins = { clock: PINS.scaleClock, data: PINS.scaleData };
    this.bridge = new BridgeConverter(rp2040, pins, clock, (complaint) =>
      around.onComplaint(`Converter: ${complaint}`),
    );
    wireOutputs(rp2040, (name, on) => around.onOutput(name, on));
    wireAdc(rp2040, clock, (channel) => {
      this.clocks.mustRun('ADC');
      mustBeAnalog(rp2040, channel);
      return around.convert(channel);
    });
    mendInterrupts(rp2040);
    mendSysTick(rp2040);
    const { translation } = around.executor;
    mendInstructions(rp2040, memory, (pc) => translation.noteAtPeripheral(pc));
    this.install(resets).start();
  }

  get nanos(): number {
    return this.clock.nanos;
  }

  get outputsOn(): ReadonlySet<OutputName> {
    return new Set(OUTPUTS.filter((name) => this.isHigh(name)));
  }

  /** Its pin is driven high. */
  isHigh(name: OutputName): boolean {
    return this.rp2040.gpio[PINS[name]]?.value === GPIOPinState.High;
  }

  /** The pin is an output, high or low, and not left to its pull-down. */
  drives(name: OutputName): boolean {
    return this.rp2040.gpio[PINS[name]]?.outputEnable === true;
  }

  /** Makes an interrupt of that number wait, enabled, as a stray store to the controller may. */
  interrupt(irq: number): void {
    const { core } = this.rp2040;
    core.enabledInterrupts |= 1 << irq;
    core.setInterrupt(irq, true);
  }

  /** The timer makes no interrupt any more, as after a stray store: the safety step is dead. */
  loseSafetyStep(): void {
    this.rp2040.writeUint32(TIMER_INTE, 0);
  }

  /** The crystal goes otherwise than before. */
  crystalChanged(): void {
    this.clocks.crystalChanged();
  }

  /** The processor's PLL gives nothing any more. */
  stopPll(): void {
    this.clocks.stopPll();
  }

  /** Reads flash through its cache from now on, which is empty, or as if all of it were in the cache. */
  set cached(cached: boolean) {
    this.missedBefore = this.misses;
    const { flash } = this.around.executor.memory;
    this.bus.cache = cached ? new XipCache(flash) : null;
    this.tellDivider();
  }

  /** Words that the cache has read from flash. */
  get misses(): number {
    return this.missedBefore + (this.bus.cache?.misses ?? 0);
  }

  private end(bitten: WatchdogMemory): void {
    this.bitten = bitten;
    this.execution.isOver = true;
  }

  private tellDivider(): void {
    if (this.bus.cache !== null) this.bus.cache.clockDivider = this.flashDivider;
  }

  private readonly complain = (component: string, message: string): void => {
    if (message.includes('is not implemented yet')) {
      throw new BusFault('undefined instruction', (this.rp2040.core.PC - INSTRUCTION_BYTES) >>> 0);
    }
    this.around.onComplaint(`${component}: ${message}`);
  };

  private install(resets: Resets): Rom {
    const { rp2040, clock, around, bus } = this;
    const { peripherals } = rp2040;
    peripherals[PERIPHERAL.resets] = resets;
    peripherals[PERIPHERAL.uart] = this.uart;
    peripherals[PERIPHERAL.usb] = this.usb.controller;
    peripherals[PERIPHERAL.chipReset] = new ChipReset(rp2040, around.poweredOn);
    const { tick } = this.clocks;
    const watchdog = new Watchdog(rp2040, tick, around.watchdogMemory, (bitten) => {
      this.end(bitten);
    });
    watchdog.onTick = (cycles) => this.clocks.tickEvery(cycles);
    peripherals[PERIPHERAL.watchdog] = watchdog;
    const onMapped = (divider: number): void => {
      this.flashDivider = divider;
      this.tellDivider();
    };
    const enterBootDrive = (activityPins: number, leftOut: number): void => {
      if (DRIVEN.some((name) => name !== 'lamp' && this.isHigh(name))) {
        throw new ImageError('Into the boot drive with an output on.');
      }
      this.bootDriveCall = { activityPins, leftOut, interruptsOff: rp2040.core.PM };
      // Where the ROM keeps them, and its own entry, over the watchdog restart that it makes; the entry it clears again.
      watchdog.scratch.set([activityPins, leftOut]);
      watchdog.scratch[ROM_ENTRY_SCRATCH] = 0;
      const { scratch } = watchdog;
      this.end({ scratch: Uint32Array.from(scratch), reason: WATCHDOG_REASON.timer });
    };
    return fitFlash({ rp2040, bus, clock, onMapped, enterBootDrive }, around);
  }
}
