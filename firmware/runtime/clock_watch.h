/*
 * A second time base, which looks at the first: timer and watchdog count one crystal, and with that gone, or twice as
 * slow, neither ends a lease in time. Whatever disagrees ends the run, outputs off.
 */
#pragma once

/* After `timer_start`: the two agree as far as the makers of the chip say they may. Returns in milliseconds. */
void clock_watch_start(void);

/* In each safety step: they still agree as they did. */
void clock_watch_step(void);

/* Whoever else finds that the timer does not go: outputs off, and a restart that tells of the clock. In any context. */
__attribute__((noreturn)) void clock_watch_give_up(void);
