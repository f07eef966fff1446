/*
 * RP2040 data sheet 2.15 (clocks), 2.16 (crystal oscillator), 2.18 (PLL): 125 MHz processor and
 * peripherals, 48 MHz USB and ADC, from the crystal.
 */
#include "clocks.h"
#include "rates.h"
#include "registers.h"
#include "restart.h"

#define CLK_REF_CTRL (CLOCKS_BASE + 0x30)
#define CLK_REF_SELECTED (CLOCKS_BASE + 0x38)
#define CLK_SYS_CTRL (CLOCKS_BASE + 0x3c)
#define CLK_SYS_DIV (CLOCKS_BASE + 0x40)
#define CLK_SYS_SELECTED (CLOCKS_BASE + 0x44)
#define CLK_PERI_CTRL (CLOCKS_BASE + 0x48)
#define CLK_USB_CTRL (CLOCKS_BASE + 0x54)
#define CLK_ADC_CTRL (CLOCKS_BASE + 0x60)
#define CLK_SYS_RESUS_CTRL (CLOCKS_BASE + 0x78)
#define CLOCKS_INTE (CLOCKS_BASE + 0xbc)
#define CLOCKS_INT_RESUS (1u << 0)
/* Without a cycle of the processor for the longest time there is, in cycles of the crystal: 21 us. */
#define RESUS_ENABLE_TIMEOUT_255 ((1u << 8) | 255u)
#define CLK_CTRL_ENABLE (1u << 11)
#define CLK_REF_SRC_MASK 3u
#define CLK_REF_SRC_ROSC 0u
#define CLK_REF_SRC_XOSC 2u
#define CLK_SYS_DIV_BY_1 (1u << 8)
#define CLK_SYS_SRC_REF 0u
#define CLK_SYS_SRC_AUX 1u

#define XOSC_BASE 0x40024000u
#define XOSC_CTRL (XOSC_BASE + 0x00)
#define XOSC_STATUS (XOSC_BASE + 0x04)
#define XOSC_STARTUP (XOSC_BASE + 0x0c)
#define XOSC_FREQ_RANGE_1_15MHZ 0xaa0u
#define XOSC_DISABLE (0xd1eu << 12)
#define XOSC_ENABLE (0xfabu << 12)
#define XOSC_STABLE (1u << 31)
/* In units of 256 cycles. */
#define XOSC_DELAY ((CRYSTAL_MHZ * 1000u * CRYSTAL_START_MS + 128u) / 256u)
_Static_assert(XOSC_DELAY <= 0x3fffu, "the start-up delay has 14 bits");

#define PLL_SYS_BASE 0x40028000u
#define PLL_USB_BASE 0x4002c000u
#define PLL_CS 0x00
#define PLL_PWR 0x04
#define PLL_FBDIV_INT 0x08
#define PLL_PRIM 0x0c
#define PLL_CS_LOCK (1u << 31)
#define PLL_CS_REFDIV_1 1u
#define PLL_PRIM_POSTDIV1_LSB 16
#define PLL_PRIM_POSTDIV2_LSB 12
#define PLL_PWR_PD (1u << 0)
#define PLL_PWR_POSTDIVPD (1u << 3)
#define PLL_PWR_VCOPD (1u << 5)

/*
 * A turn takes 8 cycles or so, of the ring oscillator's 1.8 to 12 MHz: 0.3 s at least, which is four times what a
 * crystal is given, and 2 s at most.
 */
#define TURNS_MAX 400000u

/* Until all of these bits are set. What does not come in that time ends in a restart: outputs stay off. */
static void await_bits(uint32_t address, uint32_t bits) {
  for (uint32_t turn = 0; (REG(address) & bits) != bits; turn++) {
    if (turn == TURNS_MAX) {
      restart_because(RESET_FAULT, FAULT_CLOCK_UNSTEADY);
    }
  }
}

/* From standstill: after a restart it may still be told as stable from before, whatever has become of it. */
static void crystal_start(void) {
  REG(XOSC_CTRL) = XOSC_FREQ_RANGE_1_15MHZ | XOSC_DISABLE;
  REG(XOSC_STARTUP) = XOSC_DELAY;
  REG(XOSC_CTRL) = XOSC_FREQ_RANGE_1_15MHZ | XOSC_ENABLE;
  await_bits(XOSC_STATUS, XOSC_STABLE);
}

/* vco_mhz / (post_divider_1 * post_divider_2). */
static void pll_start(uint32_t base, uint32_t vco_mhz, uint32_t post_divider_1,
                      uint32_t post_divider_2) {
  REG(base + PLL_CS) = PLL_CS_REFDIV_1;
  REG(base + PLL_FBDIV_INT) = vco_mhz / CRYSTAL_MHZ;
  REG_CLR(base + PLL_PWR) = PLL_PWR_PD | PLL_PWR_VCOPD;
  await_bits(base + PLL_CS, PLL_CS_LOCK);
  REG(base + PLL_PRIM) =
      (post_divider_1 << PLL_PRIM_POSTDIV1_LSB) | (post_divider_2 << PLL_PRIM_POSTDIV2_LSB);
  REG_CLR(base + PLL_PWR) = PLL_PWR_POSTDIVPD;
}

void clocks_start(void) {
  REG(CLK_SYS_RESUS_CTRL) = 0;
  /* The ROM or a debugger may have put the processor on a PLL: step off them first, then off the crystal. */
  REG_CLR(CLK_SYS_CTRL) = CLK_SYS_SRC_AUX;
  await_bits(CLK_SYS_SELECTED, 1u << CLK_SYS_SRC_REF);
  clocks_leave_crystal();
  await_bits(CLK_REF_SELECTED, 1u << CLK_REF_SRC_ROSC);
  crystal_start();
  reset_afresh(RESETS_PLL_SYS | RESETS_PLL_USB);
  pll_start(PLL_SYS_BASE, PLL_SYS_VCO_MHZ, 6, 2); /* 125 MHz */
  pll_start(PLL_USB_BASE, PLL_USB_VCO_MHZ, 5, 5); /* 48 MHz */

  REG(CLK_REF_CTRL) = CLK_REF_SRC_XOSC;
  await_bits(CLK_REF_SELECTED, 1u << CLK_REF_SRC_XOSC);
  REG(CLK_SYS_DIV) = CLK_SYS_DIV_BY_1;
  REG(CLK_SYS_CTRL) = 0; /* auxiliary source: PLL_SYS */
  REG_SET(CLK_SYS_CTRL) = CLK_SYS_SRC_AUX;
  await_bits(CLK_SYS_SELECTED, 1u << CLK_SYS_SRC_AUX);
  REG(CLK_PERI_CTRL) = CLK_CTRL_ENABLE; /* from clk_sys */
  REG(CLK_USB_CTRL) = CLK_CTRL_ENABLE;  /* from PLL_USB */
  REG(CLK_ADC_CTRL) = CLK_CTRL_ENABLE;  /* from PLL_USB */

  /* From here on a PLL that stops leaves the processor on the crystal, for long enough to switch off. */
  REG(CLK_SYS_RESUS_CTRL) = RESUS_ENABLE_TIMEOUT_255;
  REG(CLOCKS_INTE) = CLOCKS_INT_RESUS;
  interrupt_enable(CLOCKS_IRQ, 0);
}

void clocks_leave_crystal(void) { REG_CLR(CLK_REF_CTRL) = CLK_REF_SRC_MASK; }

void clocks_irq(void) { restart_because(RESET_FAULT, FAULT_CLOCK_UNSTEADY); }
