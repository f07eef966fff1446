/** Where what is in the chip's address space (RP2040 data sheet 2.2). */

export const ROM_BYTES = 16 * 1024;
export const RAM_START = 0x20000000;
export const RAM_BYTES = 264 * 1024;
/** From here on: first those on the slow bus, last the processor's own. */
export const PERIPHERALS_START = 0x40000000;
