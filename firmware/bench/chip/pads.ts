/**
 * What a pin's pad lets through (RP2040 data sheet 2.19.4). Silicon is silent about a pad that is not set up for what its
 * pin is used for: the line rests, or reads low. Here it ends the run.
 */
import { type GPIOPin, GPIOPinState, type RP2040 } from 'rp2040js';
import { PINS } from '../../../shared/board/map';
import { ImageError } from './bus';
import { DRIVEN, type OutputName } from './surroundings';

/** Channel 0 of the ADC (data sheet 4.9). */
const FIRST_ANALOG_GPIO = 26;
/** UART0, at the pins where it is brought out (data sheet 1.4.3). */
const FUNCSEL_UART = 2;

const fail = (what: string, gpio: number): never => {
  throw new ImageError(`${what}, and GPIO ${gpio} or its pad is not set up for it.`);
};

/** Tells of each pin that does something by its level, as it goes high or low: its pad must let that out. */
export function wireOutputs(
  { gpio }: RP2040,
  onOutput: (output: OutputName, on: boolean) => void,
): void {
  for (const name of DRIVEN) {
    const pin = gpio[PINS[name]];
    pin?.addListener((state, before) => {
      mustLetOut(pin, name);
      const isOn = state === GPIOPinState.High;
      if (isOn !== (before === GPIOPinState.High)) onOutput(name, isOn);
    });
  }
}

/** A pin that is driven, as `what`. */
function mustLetOut(pad: GPIOPin, what: string): void {
  if (pad.outputEnable && pad.outputDisable) fail(`Driven as ${what}`, pad.index);
}

/** A pin that is read, as `what`. */
export function mustLetIn({ gpio }: RP2040, index: number, what: string): void {
  if (gpio[index]?.inputEnable !== true) fail(`Read as ${what}`, index);
}

/** The pin of a channel of the ADC: neither a digital input nor an output. */
export function mustBeAnalog({ gpio }: RP2040, channel: number): void {
  const pad = gpio[FIRST_ANALOG_GPIO + channel];
  if (pad?.inputEnable !== false || !pad.outputDisable) {
    fail('Converted', FIRST_ANALOG_GPIO + channel);
  }
}

/** A pin of UART0: what it receives comes in, or what it sends goes out. */
export function mustBeUart({ gpio }: RP2040, index: number, way: 'in' | 'out'): void {
  const pad = gpio[index];
  const isOpen = way === 'in' ? pad?.inputEnable === true : pad?.outputDisable === false;
  if (pad?.functionSelect !== FUNCSEL_UART || !isOpen) fail('UART0 used', index);
}
