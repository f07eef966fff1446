/* Who owns a pin, and its pad. */
#pragma once
#include <stdint.h>
#include "registers.h"

#define SIO_GPIO_OUT_CLR (SIO_BASE + 0x18)

/* Gives a pin to a peripheral (FUNCSEL, data sheet 2.19.2). */
void pin_function(uint32_t pin, uint32_t function);

/* A digital input that rests high. Keeps the pin's function. */
void pin_pull_up(uint32_t pin);

/* Analog input: digital input, output and pulls off. */
void pin_analog(uint32_t pin);

/* The same with its pull-down: it reads low when nothing is wired to it. */
void pin_analog_low(uint32_t pin);
