/* The JavaScript engine and the controller that runs in it. */
#pragma once
#include <stdint.h>

/* A machine on the frozen realm, and `createController(board)`: the controller is ready when it returns. */
void engine_start(void);

/*
 * Time in a flash operation that the running script does not have to answer for: a worn chip may take
 * seconds for all that is tried on it. The watchdog still holds.
 */
void engine_excuse_ms(uint64_t ms);

/* `controller.tick()`, `.rest()` and `.receive(door, bytes)`. They return, or the board restarts. */
void engine_tick(void);
void engine_rest(void);
void engine_receive(uint32_t door, const uint8_t *bytes, uint32_t count);
