/*
 * Looks at the mat's fuse, lead and own switch: what the sense line reads with that switch open, against what it reads
 * with it closed, the second switch closed both times. A look closes the switch later or opens it for a moment; it never
 * keeps it closed. What the two codes mean is for JavaScript to say.
 */
#pragma once
#include <stdbool.h>
#include <stdint.h>

/*
 * One safety step. `leased`: the mat is asked for and nothing holds it off; `sum`: the sense line's burst of this step, or
 * LOADS_NOTHING (`loads_sense.h`) where it tells nothing of the mat. True when the mat's own switch is to be closed until the next one.
 */
bool mat_look_step(bool leased, uint32_t sum, uint64_t now_ms);

/* While it heats: the switch is to be opened now, for a burst with it open, which `mat_look_opened` is told. */
bool mat_look_is_due(void);
void mat_look_opened(uint32_t sum);

/* Takes the newest look that was not taken before; `MAT_LOOKED_NOT` when there is none. Not for the interrupt. */
uint32_t mat_look_take(void);

/* Mean code of the look taken last, 0..4095, with the mat's own switch closed or open; 0 before the first. */
double mat_look_code(bool closed);
