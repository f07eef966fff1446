#include "script_time.h"
#include "timer.h"

static uint64_t deadline_us;

void script_time_start(uint64_t limit_ms) { deadline_us = timer_us() + limit_ms * 1000; }

void script_time_excuse(uint64_t ms) { deadline_us += ms * 1000; }

bool script_time_left(void) { return timer_us() < deadline_us; }
