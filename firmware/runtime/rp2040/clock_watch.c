/*
 * RP2040 data sheet 2.15.6 (frequency counter) and 2.17 (ring oscillator); ARMv6-M manual B3.3 (SysTick).
 *
 * The counter counts the ring oscillator for a time that the crystal measures: that tells of a crystal at a wrong rate.
 * One that stands still takes the timer, and with it the safety step, along: SysTick counts the processor's own cycles,
 * which go on for as long as its PLL gives any, and looks whether the timer has.
 */
#include "clock_watch.h"
#include "clocks.h"
#include "pins.h"
#include "rates.h"
#include "registers.h"
#include "restart.h"
#include "timer.h"

#define FC0_REF_KHZ (CLOCKS_BASE + 0x80)
#define FC0_MIN_KHZ (CLOCKS_BASE + 0x84)
#define FC0_MAX_KHZ (CLOCKS_BASE + 0x88)
#define FC0_INTERVAL (CLOCKS_BASE + 0x90)
#define FC0_SRC (CLOCKS_BASE + 0x94)
#define FC0_STATUS (CLOCKS_BASE + 0x98)
#define FC0_RESULT (CLOCKS_BASE + 0x9c)
#define FC0_STATUS_DONE (1u << 4)
#define FC0_RESULT_KHZ_LSB 5
#define FC0_MAX_KHZ_NONE 0x1ffffffu
#define FC0_SRC_ROSC 3u
/* Two to the power of it are 4096 us: a count is over long before the next safety step. */
#define INTERVAL_4_MS 12u
/* A turn takes 8 cycles of 125 MHz or so: four times as long as a count. */
#define FIRST_COUNT_TURNS_MAX 250000u

/* As the ROM leaves it (data sheet 2.17.3): a crystal at half its rate shows twice as much. */
#define ROSC_MIN_KHZ 1800u
#define ROSC_MAX_KHZ 12000u
/*
 * What warmth and voltage do to it in a room, with half in hand. The count goes as one over the crystal's rate: beyond are
 * a crystal at less than 1 / 1.25 or more than 1 / 0.75 of its rate, a fifth too slow or a third too fast.
 */
#define DRIFT_MAX_PERCENT 25u
/* One count may be disturbed; three in a row, 0.15 s, are not. */
#define ODD_COUNTS_MAX 3u

#define SYST_CSR 0xe000e010u
#define SYST_RVR 0xe000e014u
#define SYST_CVR 0xe000e018u
#define SYST_ENABLE_INTERRUPT_PROCESSOR 7u
#define LOOK_MS 100u
#define CYCLES_PER_LOOK (CLK_PERI_HZ / 1000u * LOOK_MS)
_Static_assert(CYCLES_PER_LOOK <= 0xffffff, "SysTick has 24 bits");
/* Between a look and the last but one lies a whole period at least, however late an erase has made one of them. */
#define LEAST_US (LOOK_MS * 1000u * 3u / 4u)

static uint32_t usual_khz;
static uint32_t odd_counts;
static uint64_t looked_us, looked_before_us;

void clock_watch_give_up(void) {
  pins_outputs_off();
  clocks_leave_crystal();
  restart_because(RESET_FAULT, FAULT_CLOCK_UNSTEADY);
}

static void start_count(void) { REG(FC0_SRC) = FC0_SRC_ROSC; }

static bool is_counted(void) { return REG(FC0_STATUS) & FC0_STATUS_DONE; }

static uint32_t counted_khz(void) { return REG(FC0_RESULT) >> FC0_RESULT_KHZ_LSB; }

void clock_watch_start(void) {
  REG(FC0_REF_KHZ) = CRYSTAL_MHZ * 1000u;
  REG(FC0_INTERVAL) = INTERVAL_4_MS;
  REG(FC0_MIN_KHZ) = 0;
  REG(FC0_MAX_KHZ) = FC0_MAX_KHZ_NONE;
  start_count();
  for (uint32_t turn = 0; !is_counted(); turn++) {
    if (turn == FIRST_COUNT_TURNS_MAX) {
      clock_watch_give_up();
    }
  }
  usual_khz = counted_khz();
  if (usual_khz < ROSC_MIN_KHZ || usual_khz > ROSC_MAX_KHZ) {
    clock_watch_give_up();
  }
  start_count();
  looked_us = looked_before_us = timer_us();
  REG(SYST_RVR) = CYCLES_PER_LOOK - 1;
  REG(SYST_CVR) = 0;
  REG(SYST_CSR) = SYST_ENABLE_INTERRUPT_PROCESSOR;
}

static bool is_usual(void) {
  uint32_t khz = counted_khz();
  uint32_t off = khz > usual_khz ? khz - usual_khz : usual_khz - khz;
  return off * 100 <= usual_khz * DRIFT_MAX_PERCENT;
}

void clock_watch_step(void) {
  if (usual_khz == 0) {
    return; /* not started yet */
  }
  odd_counts = is_counted() && is_usual() ? 0 : odd_counts + 1;
  if (odd_counts == ODD_COUNTS_MAX) {
    clock_watch_give_up();
  }
  start_count();
}

void systick_irq(void) {
  uint64_t now_us = timer_us();
  if (now_us - looked_before_us < LEAST_US) {
    clock_watch_give_up();
  }
  looked_before_us = looked_us;
  looked_us = now_us;
}
