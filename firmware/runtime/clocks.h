/* The clocks of processor, link, converter and timer. */
#pragma once

/*
 * Returns when every clock runs. A crystal that does not start is waited for: the watchdog, started
 * before, then restarts the board, with its outputs still off.
 */
void clocks_start(void);
