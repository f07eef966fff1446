/* The board's pins: who drives each, and MAT, PUMP, LAMP, SOUNDER and the bridge converter's two by hand. */
#pragma once
#include <stdbool.h>
#include <stdint.h>
#include "board_map.h"
#include "rp2040.h"

#define SIO_GPIO_OUT_CLR (SIO_BASE + 0x18)

/* The outputs that heat, wet or sound: off on every fault path. */
#define LOADS ((1u << PIN_MAT) | (1u << PIN_PUMP) | (1u << PIN_SOUNDER))

/* First act after reset: MAT, PUMP, SOUNDER and LAMP driven low. Needs no clock and no memory. */
void pins_make_safe(void);

/* The converter's clock as an output at low, its data line as an input. */
void pins_start_bridge(void);

/* Gives a pin to a peripheral (FUNCSEL, data sheet 2.19.2). */
void pin_function(uint32_t pin, uint32_t function);

/* A digital input that rests high. Keeps the pin's function. */
void pin_pull_up(uint32_t pin);

/* Analog input: digital input, output and pulls off. */
void pin_analog(uint32_t pin);

void pin_set(uint32_t pin, bool high);
bool pin_get(uint32_t pin);

/* MAT, PUMP and SOUNDER low, in one store. Safe in any context, fault handlers included. */
void pins_outputs_off(void);
