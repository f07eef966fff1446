/**
 * The scale's bridge converter at its two pins (converter data sheet, "serial interface"): data low
 * when a conversion is ready, 24 pulses shift it out MSB first, the 25th selects the gain and returns
 * the line to high. Clock high for more than 60 us powers it down; either level for less than 0.2 us is
 * a pulse that it may not see.
 */
import { GPIOPinState, type RP2040 } from 'rp2040js';
import type { ChipClock } from './clock';
import { mustLetIn } from './pads';

const WORD_BITS = 24;
const POWER_DOWN_NANOS = 60_000;
const HALF_PULSE_MIN_NANOS = 200;
/** Settling after power-up at 10 samples/s. */
const SETTLE_CONVERSIONS = 4;

export interface BridgePins {
  readonly clock: number;
  readonly data: number;
}

export class BridgeConverter {
  /** The data line does not move any more: a wire on the wrong potential. */
  stuck: 'low' | 'high' | null = null;
  /** Reads that took all of their pulses. */
  reads = 0;
  private code = 0;
  private pulses = 0;
  private ready = false;
  private settling = 0;
  private line = true;
  private onPin = true;
  private poweredDown = false;
  private edgeNanos = Number.NEGATIVE_INFINITY;
  private readonly powerDown;

  constructor(
    private readonly chip: RP2040,
    private readonly pins: BridgePins,
    private readonly clock: ChipClock,
    private readonly complain: (complaint: string) => void,
  ) {
    this.powerDown = clock.createAlarm(() => this.sleep());
    chip.gpio[pins.data]?.setInputValue(true);
    chip.gpio[pins.clock]?.addListener((state, before) => this.edge(state, before));
  }

  /** A conversion ended: `code` is ready to be read, or NaN when the converter is silent. */
  convert(code: number): void {
    if (this.poweredDown || !Number.isFinite(code)) {
      this.drive(true);
      return;
    }
    if (this.settling > 0) {
      this.settling -= 1;
      return;
    }
    this.code = code & 0xffffff;
    this.pulses = 0;
    this.ready = true;
    this.drive(false);
  }

  /** Puts the stuck line, if any, on the pin. */
  refresh(): void {
    this.drive(this.line);
  }

  private edge(state: GPIOPinState, before: GPIOPinState): void {
    if (state !== GPIOPinState.High && before !== GPIOPinState.High) return;
    const { nanos } = this.clock;
    const lastedNanos = nanos - this.edgeNanos;
    if (lastedNanos < HALF_PULSE_MIN_NANOS)
      this.complain(`clock steady for ${lastedNanos} ns only`);
    this.edgeNanos = nanos;
    if (state === GPIOPinState.High) {
      this.powerDown.schedule(POWER_DOWN_NANOS);
      if (!this.poweredDown) this.pulse();
    } else {
      this.powerDown.cancel();
      if (this.poweredDown) {
        this.poweredDown = false;
        this.settling = SETTLE_CONVERSIONS;
      }
    }
  }

  private pulse(): void {
    mustLetIn(this.chip, this.pins.data, 'the scale');
    this.pulses += 1;
    if (this.ready && this.pulses <= WORD_BITS) {
      this.drive(((this.code >> (WORD_BITS - this.pulses)) & 1) === 1);
      return;
    }
    if (this.ready) this.reads += 1;
    this.ready = false;
    this.drive(true);
  }

  private sleep(): void {
    this.poweredDown = true;
    this.ready = false;
    this.drive(true);
  }

  /** The emulator counts an edge at every call, so only changes reach the pin. */
  private drive(high: boolean): void {
    this.line = high;
    const level = this.stuck === null ? high : this.stuck === 'high';
    if (level === this.onPin) return;
    this.onPin = level;
    this.chip.gpio[this.pins.data]?.setInputValue(level);
  }
}
