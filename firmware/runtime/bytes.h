/* The byte loops that would be slow as bytecode, as host functions on the global object `native`. */
#pragma once
#include "xsAll.h"

void bytes_define(txMachine *the);
