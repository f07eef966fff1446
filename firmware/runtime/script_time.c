#include "script_time.h"
#include "board_map.h"
#include "processor.h"
#include "timer.h"

/* An erase of 0.4 s under way when the time is over, and what the loop does beside: the watchdog waits so much longer. */
#define BEFORE_WATCHDOG_MS 1000u
#define EXCUSES_END_MS (LIMITER_WATCHDOG_MS - BEFORE_WATCHDOG_MS)
_Static_assert(SCRIPT_START_LIMIT_MS <= EXCUSES_END_MS, "the start begins when the watchdog is fed");
_Static_assert(SCRIPT_LIMIT_MS + SCRIPT_EXCUSED_MAX_MS <= EXCUSES_END_MS, "and so does a tick that is on time");

/* The safety step reads both, in the timer interrupt. */
static volatile bool running;
static volatile uint64_t outputs_until_us;
static uint64_t deadline_us;
static uint64_t fed_us;

static uint64_t least(uint64_t one, uint64_t other) { return one < other ? one : other; }

void script_time_fed(void) { fed_us = timer_us(); }

void script_time_start(uint64_t limit_ms) {
  deadline_us = timer_us() + limit_ms * 1000;
  uint32_t primask = interrupts_off();
  outputs_until_us = deadline_us;
  running = true;
  interrupts_restore(primask);
}

void script_time_end(void) {
  uint32_t primask = interrupts_off();
  running = false;
  interrupts_restore(primask);
}

void script_time_excuse(uint64_t ms) {
  uint64_t latest_us =
      least(outputs_until_us + SCRIPT_EXCUSED_MAX_MS * 1000u, fed_us + EXCUSES_END_MS * 1000u);
  uint64_t excused_us = least(deadline_us + ms * 1000, latest_us);
  deadline_us = excused_us > deadline_us ? excused_us : deadline_us;
}

bool script_time_left(void) { return timer_us() < deadline_us; }

bool script_time_holds_outputs(void) { return !running || timer_us() < outputs_until_us; }
