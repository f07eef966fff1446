/*
 * How long a call into JavaScript may still take. Its own time ends the call; erases count for the outputs alone, which
 * nothing looks after meanwhile.
 */
#pragma once
#include <stdbool.h>
#include <stdint.h>

/* From one tick to the next. */
#define TICK_MS 1000u

/* The watchdog was fed. */
void script_time_fed(void);

/*
 * Whether a call may begin that is not the tick: if it takes its time, and the tick that is due behind it, both end before
 * the watchdog bites. It is fed after a tick alone, and several calls may lie between two.
 */
bool script_time_has_room(void);

/* A call begins that must return within this time, and leave so much before the watchdog bites; and has returned. */
void script_time_start(uint64_t limit_ms, uint64_t leave_ms);
void script_time_end(void);

/*
 * Time in a flash operation that the running script does not have to answer for: a worn chip may take
 * seconds for all that is tried on it. No more than SCRIPT_EXCUSED_MAX_MS in one call, and none when the watchdog is
 * near: a script that only erases is stopped as well, and the journal says for what.
 */
void script_time_excuse(uint64_t ms);

bool script_time_left(void);

/* False while a call takes longer than it may, erases counted: outputs are off until it has returned. */
bool script_time_holds_outputs(void);
