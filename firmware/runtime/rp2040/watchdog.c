/* RP2040 data sheet 4.7; erratum RP2040-E1: it counts down twice per microsecond. */
#include "watchdog.h"
#include "board_map.h"
#include "rates.h"
#include "registers.h"

#define WATCHDOG_CTRL (WATCHDOG_BASE + 0x00)
#define WATCHDOG_LOAD (WATCHDOG_BASE + 0x04)
#define CTRL_TRIGGER (1u << 31)
#define CTRL_ENABLE (1u << 30)
#define LOAD_PER_MS 2000u
#define WATCHDOG_TICK (WATCHDOG_BASE + 0x2c)
#define TICK_ENABLE (1u << 9)

#define PSM_WDSEL (PSM_BASE + 0x08)
/* Everything but the oscillators, which the ROM expects running. */
#define PSM_ALL 0x1ffffu
#define PSM_ROSC (1u << 0)
#define PSM_XOSC (1u << 1)

_Static_assert(LIMITER_WATCHDOG_MS * LOAD_PER_MS <= 0xffffff, "the counter has 24 bits");

void watchdog_start(void) {
  REG_CLR(WATCHDOG_CTRL) = CTRL_ENABLE;
  /* A microsecond of the crystal. Until that runs, the slower ring oscillator stretches all times. */
  REG(WATCHDOG_TICK) = CRYSTAL_MHZ | TICK_ENABLE;
  REG(PSM_WDSEL) = PSM_ALL & ~(PSM_ROSC | PSM_XOSC);
  watchdog_feed();
  REG_SET(WATCHDOG_CTRL) = CTRL_ENABLE;
}

void watchdog_feed(void) { REG(WATCHDOG_LOAD) = LIMITER_WATCHDOG_MS * LOAD_PER_MS; }

void watchdog_restart(void) {
  REG(PSM_WDSEL) = PSM_ALL & ~(PSM_ROSC | PSM_XOSC);
  REG_SET(WATCHDOG_CTRL) = CTRL_TRIGGER;
  for (;;) {
  }
}
