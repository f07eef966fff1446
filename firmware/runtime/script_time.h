/* How long a call into JavaScript may still take. */
#pragma once
#include <stdbool.h>
#include <stdint.h>

/* A call begins that must return within this time. */
void script_time_start(uint64_t limit_ms);

/*
 * Time in a flash operation that the running script does not have to answer for: a worn chip may take
 * seconds for all that is tried on it. The watchdog still holds.
 */
void script_time_excuse(uint64_t ms);

bool script_time_left(void);
