/* The scale's 24-bit bridge converter, read bit by bit. */
#pragma once
#include <stdbool.h>
#include <stdint.h>

void bridge_start(void);

/* Reads a finished conversion, if there is one (about 60 us). Called in the safety step. */
void bridge_poll(void);

/* The newest code not taken before, sign-extended. False when there is none. */
bool bridge_take(int32_t *code);
