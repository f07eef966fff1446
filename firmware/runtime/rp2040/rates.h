/* Frequencies that clocks.c makes of the crystal's and others divide (RP2040 data sheet 2.16, 2.18). */
#pragma once
#include "board_map.h"

#define PLL_SYS_VCO_MHZ 1500u
#define PLL_USB_VCO_MHZ 1200u
_Static_assert(CRYSTAL_MHZ >= 5 && CRYSTAL_MHZ <= 15, "what the oscillator and the PLLs take");
_Static_assert(PLL_SYS_VCO_MHZ % CRYSTAL_MHZ == 0 && PLL_USB_VCO_MHZ % CRYSTAL_MHZ == 0,
               "both VCOs must be multiples of the crystal's frequency");

/* Peripheral clock, the processor's own: feeds UART0's divider. */
#define CLK_PERI_HZ 125000000u
