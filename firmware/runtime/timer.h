/* Time since this start, and the periodic interrupt that the safety layer runs in. */
#pragma once
#include <stdint.h>

/* Starts counting at 0 and calls `step` every SAFETY_STEP_MS, above every other interrupt. */
void timer_start(void (*step)(void));

/* Microseconds and whole milliseconds since `timer_start`; never decrease. */
uint64_t timer_us(void);
uint64_t timer_ms(void);
