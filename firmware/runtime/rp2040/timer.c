/* RP2040 data sheet 4.6: a 64-bit count of microseconds, with alarms on its low word. */
#include "timer.h"
#include "board_map.h"
#include "registers.h"

#define TIMER_ALARM0 (TIMER_BASE + 0x10)
#define TIMER_TIMERAWH (TIMER_BASE + 0x24)
#define TIMER_TIMERAWL (TIMER_BASE + 0x28)
#define TIMER_INTR (TIMER_BASE + 0x34)
#define TIMER_INTE (TIMER_BASE + 0x38)
#define ALARM_0 (1u << 0)

#define STEP_US (SAFETY_STEP_MS * 1000u)

static void (*on_step)(void);
static uint64_t start_us;
static uint32_t next_step_us;

static uint64_t count_us(void) {
  uint32_t high, low;
  do {
    high = REG(TIMER_TIMERAWH);
    low = REG(TIMER_TIMERAWL);
  } while (high != REG(TIMER_TIMERAWH));
  return (uint64_t)high << 32 | low;
}

void timer_start(void (*step)(void)) {
  on_step = step;
  unreset(RESETS_TIMER);
  start_us = count_us();
  next_step_us = (uint32_t)start_us + STEP_US;
  REG_SET(TIMER_INTE) = ALARM_0;
  REG(TIMER_ALARM0) = next_step_us;
  interrupt_enable(TIMER_IRQ_0, 0);
}

uint64_t timer_us(void) { return count_us() - start_us; }

uint64_t timer_ms(void) { return timer_us() / 1000; }

void timer_irq(void) {
  REG(TIMER_INTR) = ALARM_0;
  on_step();
  /* An alarm set in the past fires only after the count wraps, so skip what a flash erase cost. */
  do {
    next_step_us += STEP_US;
  } while ((int32_t)(next_step_us - REG(TIMER_TIMERAWL)) < (int32_t)(STEP_US / 4));
  REG(TIMER_ALARM0) = next_step_us;
}
