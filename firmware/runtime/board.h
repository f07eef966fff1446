/* The `Board` interface of firmware/board.ts, as host functions on the global object `board`. */
#pragma once
#include "xsAll.h"

void board_define(txMachine *the);
