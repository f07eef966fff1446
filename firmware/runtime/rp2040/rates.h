/* Frequencies that clocks.c sets up and others divide. */
#pragma once

#define XOSC_MHZ 12u
/* Peripheral clock, the processor's own: feeds UART0's divider. */
#define CLK_PERI_HZ 125000000u
