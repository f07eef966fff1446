/** What the board outside the processor is to one run of it: pins by what they do, what is provided, and what is told. */
import type { SimulatedFlash } from '../flash';
import type { Conversion } from './adc';
import type { Breakage, BusFault, WritableFlash } from './bus';
import type { FlashTimes } from './rom';
import type { SectorErase } from './sector-erase';
import type { Executor } from './translation/executor';
import type { WatchdogMemory } from './watchdog';

/** What does something by its level; `feed` and `arm` do by toggling. */
export const OUTPUTS = ['mat', 'pump', 'sounder', 'lamp'] as const;
export const DRIVEN = [...OUTPUTS, 'feed', 'arm'] as const;
export type OutputName = (typeof DRIVEN)[number];

/** What the board outside the processor provides, and is told. */
export interface Surroundings {
  readonly flash: SimulatedFlash;
  readonly flashTimes: FlashTimes;
  readonly flashStatus: { quadEnabled: boolean };
  readonly erase: SectorErase;
  readonly flashId: readonly number[];
  readonly writableFlash: WritableFlash | null;
  readonly breakage: Breakage;
  /** Of RAM as it is, and of the flash. */
  readonly executor: Executor;
  readonly watchdogMemory: WatchdogMemory;
  readonly poweredOn: boolean;
  /** How fast the crystal swings: 1 is right; a dead one, 0, is waited for in vain. */
  crystalRate(): number;
  convert(channel: number): Conversion;
  onOutput(output: OutputName, on: boolean): void;
  onFault(fault: BusFault): void;
  onComplaint(complaint: string): void;
  onUsbData(bytes: Uint8Array): void;
  onUartByte(byte: number): void;
}

/** How the ROM was asked to restart as a drive. */
export interface BootDriveCall {
  /** The pin that it raises while the host reads or writes; 0: none. */
  readonly activityPins: number;
  /** Of its two USB interfaces those that it leaves out; 0: none, as with the button. */
  readonly leftOut: number;
  readonly interruptsOff: boolean;
}
