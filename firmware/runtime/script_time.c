#include "script_time.h"
#include "board_map.h"
#include "processor.h"
#include "timer.h"

/* An erase of 0.4 s under way when the time is over, and what the loop does beside: the watchdog waits so much longer. */
#define BEFORE_WATCHDOG_MS 1000u
/* Since the watchdog was fed: when every call has ended, and when the last may begin that is not the tick. */
#define CALLS_END_MS (LIMITER_WATCHDOG_MS - BEFORE_WATCHDOG_MS)
#define LAST_BEGINS_MS (CALLS_END_MS - 2 * SCRIPT_LIMIT_MS)
_Static_assert(SCRIPT_START_LIMIT_MS <= CALLS_END_MS, "the start begins when the watchdog is fed");
_Static_assert(TICK_MS + SCRIPT_LIMIT_MS + SCRIPT_EXCUSED_MAX_MS <= CALLS_END_MS, "a tick that is on time has all of its");
_Static_assert(TICK_MS <= LAST_BEGINS_MS, "and until one is due others may begin");
_Static_assert(SCRIPT_LIMIT_MS <= LAST_BEGINS_MS, "also behind a rest that takes its time: a due tick does not starve them");

/* The safety step reads both, in the timer interrupt. */
static volatile bool running;
static volatile uint64_t outputs_until_us;
static uint64_t deadline_us;
static uint64_t excused_until_us;
static uint64_t fed_us;

static uint64_t least(uint64_t one, uint64_t other) { return one < other ? one : other; }

void script_time_fed(void) { fed_us = timer_us(); }

bool script_time_has_room(void) { return timer_us() <= fed_us + LAST_BEGINS_MS * 1000u; }

void script_time_start(uint64_t limit_ms, uint64_t leave_ms) {
  deadline_us = timer_us() + limit_ms * 1000;
  excused_until_us = least(deadline_us + SCRIPT_EXCUSED_MAX_MS * 1000u, fed_us + (CALLS_END_MS - leave_ms) * 1000u);
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
  uint64_t excused_us = least(deadline_us + ms * 1000, excused_until_us);
  deadline_us = excused_us > deadline_us ? excused_us : deadline_us;
}

bool script_time_left(void) { return timer_us() < deadline_us; }

bool script_time_holds_outputs(void) { return !running || timer_us() < outputs_until_us; }
