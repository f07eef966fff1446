/* The `Board` interface of firmware/board.ts, as host functions on the global object `board`. */
#pragma once
#include "xsAll.h"

void board_define(txMachine *the);

/* Copies bytes into a Uint8Array of exactly that length. */
void board_fill(txMachine *the, txSlot *array, const uint8_t *bytes, uint32_t count);
