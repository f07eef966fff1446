/** Puts the probes' voltages on the emulated ADC, one conversion at a time (RP2040 data sheet 4.9). */
import type { RP2040 } from 'rp2040js';
import type { ChipClock } from './clock';

const CONVERSION_NANOS = 2000;

/** A 12-bit code; or the converter tells an error (CS.ERR), or never gets done. */
export type Conversion = number | 'error' | 'never';

/** `convert`: what a conversion of this channel comes to when it ends. */
export function wireAdc(
  { adc }: RP2040,
  clock: ChipClock,
  convert: (channel: number) => Conversion,
): void {
  let channel = 0;
  let converting = false;
  const done = clock.createAlarm(() => {
    converting = false;
    const conversion = convert(channel);
    if (conversion === 'never') return;
    const failed = conversion === 'error';
    adc.completeADCRead(failed ? 0 : conversion, failed);
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
