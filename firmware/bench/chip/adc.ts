/** Puts the probes' voltages on the emulated ADC, one conversion at a time (RP2040 data sheet 4.9). */
import type { RP2040 } from 'rp2040js';
import type { ChipClock } from './clock';

const CONVERSION_NANOS = 2000;

/** `codeOf`: the 12-bit code that a conversion of this channel gives when it ends. */
export function wireAdc(
  { adc }: RP2040,
  clock: ChipClock,
  codeOf: (channel: number) => number,
): void {
  let channel = 0;
  let converting = false;
  const done = clock.createAlarm(() => {
    converting = false;
    adc.completeADCRead(codeOf(channel), false);
  });
  adc.onADCRead = (asked) => {
    channel = asked;
    converting = true;
    done.schedule(CONVERSION_NANOS);
  };
  const stock = adc.readUint32.bind(adc);
  adc.readUint32 = (offset) => {
    // A loop that asks whether it is ready would ask in vain until the next thing happens.
    if (converting) clock.tick(clock.nextNanos - clock.nanos);
    return stock(offset);
  };
}
