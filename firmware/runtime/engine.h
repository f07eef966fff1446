/* The JavaScript engine and the controller that runs in it. */
#pragma once
#include <stdint.h>

/* A machine on the frozen realm, and `createController(board)`: the controller is ready when it returns. */
void engine_start(void);

/* `controller.tick()`, `.rest()` and `.receive(door, bytes)`. They return, or the board restarts. */
void engine_tick(void);
void engine_rest(void);
void engine_receive(uint32_t door, const uint8_t *bytes, uint32_t count);
