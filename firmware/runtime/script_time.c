#include "script_time.h"
#include "processor.h"
#include "timer.h"

/* A call may have to try some worn sectors of a slow chip, 0.4 s each; with these and its own 2 s the watchdog is still far. */
#define EXCUSED_MAX_US 4000000u

/* The safety step reads both, in the timer interrupt. */
static volatile bool running;
static volatile uint64_t outputs_until_us;
static uint64_t deadline_us;

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
  uint64_t latest_us = outputs_until_us + EXCUSED_MAX_US;
  deadline_us += ms * 1000;
  deadline_us = deadline_us < latest_us ? deadline_us : latest_us;
}

bool script_time_left(void) { return timer_us() < deadline_us; }

bool script_time_holds_outputs(void) { return !running || timer_us() < outputs_until_us; }
