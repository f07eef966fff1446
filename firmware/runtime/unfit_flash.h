/* The end of a start on a board whose flash chip does not hold the flash map. */
#pragma once

/*
 * Outputs stay off and nothing is written; the lamp shows its code, and every request at a door is refused with what
 * the chip is. Does not return. Needs the safety step and both doors.
 */
void unfit_flash(void) __attribute__((noreturn));
