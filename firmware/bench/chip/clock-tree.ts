/** What gives one run of the processor its clocks: crystal, PLLs and generators, the watchdog's tick, and who goes by them. */
import type { RP2040 } from 'rp2040js';
import type { ChipClock } from './clock';
import { ClockGenerators } from './clock-generators';
import { Crystal, Pll } from './oscillators';
import { TickClock } from './tick-clock';
import { Timer } from './timer';

const PERIPHERAL = {
  clocks: 0x40008,
  crystal: 0x40024,
  pllSys: 0x40028,
  pllUsb: 0x4002c,
  timer: 0x40054,
} as const;

export class ClockTree {
  readonly tick: TickClock;
  private readonly pllSys: Pll;
  private readonly generators: ClockGenerators;
  /** The watchdog's divider of the reference, 0 while it makes no tick. */
  private tickCycles = 0;

  /** `rate`: how fast the crystal swings. `onProcessor` is told the processor's clock, MHz; 0: it has none. */
  constructor(
    private readonly rp2040: RP2040,
    clock: ChipClock,
    rate: () => number,
    private readonly onProcessor: (mhz: number) => void,
  ) {
    this.tick = new TickClock(clock);
    const crystal = new Crystal(rp2040, clock, rate);
    this.pllSys = new Pll(rp2040, 'PLL_SYS', clock, crystal, rate);
    const pllUsb = new Pll(rp2040, 'PLL_USB', clock, crystal, rate);
    const sources = { crystal, pllSys: this.pllSys, pllUsb, rate };
    this.generators = new ClockGenerators(rp2040, clock, sources);
    this.generators.onChange = () => this.follow();
    Object.assign(rp2040.peripherals, {
      [PERIPHERAL.crystal]: crystal,
      [PERIPHERAL.pllSys]: this.pllSys,
      [PERIPHERAL.pllUsb]: pllUsb,
      [PERIPHERAL.clocks]: this.generators,
      [PERIPHERAL.timer]: new Timer(rp2040, this.tick, () => this.tickMhz),
    });
    this.follow();
  }

  /** What uses a part of the chip needs its clock as it must be; throws `ImageError` else. */
  mustRun(name: Parameters<ClockGenerators['mustRun']>[0]): void {
    this.generators.mustRun(name);
  }

  /** The crystal goes otherwise than before. */
  crystalChanged(): void {
    this.generators.changed();
  }

  /** The processor's PLL gives nothing any more. */
  stopPll(): void {
    this.pllSys.dead = true;
    this.generators.changed();
  }

  /** The watchdog makes a tick of so many cycles of the reference; 0: none. */
  tickEvery(cycles: number): void {
    this.tickCycles = cycles;
    this.follow();
  }

  private get tickMhz(): number {
    return this.tickCycles === 0 ? 0 : this.generators.refMhz / this.tickCycles;
  }

  private follow(): void {
    const { rp2040, generators } = this;
    const mhz = generators.sysMhz;
    this.onProcessor(mhz);
    this.tick.rate = this.tickMhz * generators.refRate;
    rp2040.clkPeri = generators.periMhz * 1e6;
    if (mhz === 0) return;
    rp2040.clkSys = mhz * 1e6;
    rp2040.ppb.systickTimer.frequency = rp2040.clkSys;
  }
}
