/* Clock tree: 125 MHz processor, 48 MHz USB and ADC, 1 MHz tick for timer and watchdog. */
#pragma once

/* Peripheral clock: feeds UART0's divider. */
#define CLK_PERI_HZ 125000000u

/* From the 12 MHz crystal and both PLLs. Returns when every clock runs. */
void clocks_start(void);
