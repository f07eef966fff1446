/* The board's pins: MAT, PUMP, FEED, ARM, LAMP, SOUNDER and the bridge converter's two, driven by hand. */
#pragma once
#include <stdbool.h>
#include <stdint.h>
#include "board_map.h"

/* The outputs that heat, wet or sound, and what holds their second switches closed: low on every fault path. */
#define LOADS                                                                                      \
  ((1u << PIN_MAT) | (1u << PIN_PUMP) | (1u << PIN_SOUNDER) | (1u << PIN_FEED) | (1u << PIN_ARM))

/* First act after reset: MAT, PUMP, FEED, ARM, SOUNDER and LAMP driven low. Needs no clock and no memory. */
void pins_make_safe(void);

/* The converter's clock as an output at low, its data line as an input. */
void pins_start_bridge(void);

void pin_set(uint32_t pin, bool high);
bool pin_get(uint32_t pin);

/* MAT, PUMP, FEED, ARM and SOUNDER low, in one store. Safe in any context, fault handlers included. */
void pins_outputs_off(void);
