/* The clocks of processor, link, converter and timer. */
#pragma once

/*
 * Returns when every clock runs. A crystal that does not start, or a PLL that does not lock, restarts the board, again
 * and again, with its outputs still off.
 */
void clocks_start(void);

/* The watchdog's tick comes of the ring oscillator again: what a restart needs when the crystal has stopped. */
void clocks_leave_crystal(void);
