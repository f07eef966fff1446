#include "script_time.h"
#include "timer.h"

static uint64_t deadline_ms;

void script_time_start(uint64_t limit_ms) { deadline_ms = timer_ms() + limit_ms; }

void script_time_excuse(uint64_t ms) { deadline_ms += ms; }

bool script_time_left(void) { return timer_ms() < deadline_ms; }
