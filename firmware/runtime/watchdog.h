/* Hardware watchdog: restarts the whole chip unless fed within LIMITER_WATCHDOG_MS. */
#pragma once

void watchdog_start(void);

/* Only after a complete control tick, and once before the engine starts. */
void watchdog_feed(void);

/* Restarts the chip now. */
void watchdog_restart(void) __attribute__((noreturn));
