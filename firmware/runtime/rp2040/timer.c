/* RP2040 data sheet 4.6: a 64-bit count of microseconds, with alarms on its low word. */
#include "timer.h"
#include "board_map.h"
#include "pause.h"
#include "processor.h"
#include "registers.h"

#define TIMER_ALARM0 (TIMER_BASE + 0x10)
#define TIMER_ALARM1 (TIMER_BASE + 0x14)
#define TIMER_TIMERAWH (TIMER_BASE + 0x24)
#define TIMER_TIMERAWL (TIMER_BASE + 0x28)
#define TIMER_INTR (TIMER_BASE + 0x34)
#define TIMER_INTE (TIMER_BASE + 0x38)
#define ALARM_0 (1u << 0)
#define ALARM_1 (1u << 1)
/* Turns of 15 cycles or so, for as long as SysTick waits: 2 ms. */
#define PAUSE_TURNS_MAX 20000u

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
  REG_SET(TIMER_INTE) = ALARM_0 | ALARM_1; /* the second has no handler: it only ends a sleep */
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

/* All others off meanwhile: one that waits would not let the processor sleep. SysTick's cannot be, which costs 2 ms at most. */
IN_RAM void pause_us(uint32_t us) {
  uint32_t enabled = REG(NVIC_ISER);
  REG(NVIC_ICER) = enabled;
  REG(TIMER_INTR) = ALARM_1;
  REG(NVIC_ICPR) = 1u << TIMER_IRQ_1;
  REG(NVIC_ISER) = 1u << TIMER_IRQ_1;
  REG(TIMER_ALARM1) = REG(TIMER_TIMERAWL) + us;
  for (uint32_t turn = 0; turn < PAUSE_TURNS_MAX && !(REG(TIMER_INTR) & ALARM_1); turn++) {
    sleep_until_interrupt();
  }
  REG(NVIC_ICER) = 1u << TIMER_IRQ_1;
  REG(NVIC_ISER) = enabled;
}
