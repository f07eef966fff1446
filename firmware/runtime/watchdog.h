/* Hardware watchdog: restarts the whole chip unless fed within LIMITER_WATCHDOG_MS. */
#pragma once

/*
 * Before anything that may have to be waited for, the clocks too: until they run it may take four times
 * as long. Starts the tick that it shares with the timer.
 */
void watchdog_start(void);

/* Only after a complete control tick with a safety step since the last, and once before the engine starts. */
void watchdog_feed(void);

/* Restarts the chip now. */
void watchdog_restart(void) __attribute__((noreturn));
