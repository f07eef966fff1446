/* Arguments of host functions, as C wants them. */
#pragma once
#include <stdint.h>
#include "xsAll.h"

struct bytes {
  uint8_t *data;
  uint32_t count;
};

/* The memory behind a Uint8Array. Valid until the next allocation: copy, then go on. */
struct bytes array_bytes(txMachine *the, txSlot *array);
struct bytes argument_bytes(txMachine *the, int index);

/* The same to be written to; a TypeError when the array is read-only. */
struct bytes array_room(txMachine *the, txSlot *array);
struct bytes argument_room(txMachine *the, int index);

/* A number argument as an unsigned word; what is negative, not finite or too large becomes `otherwise`. */
uint32_t argument_word(txMachine *the, int index, uint32_t otherwise);

struct host_function {
  txString name;
  txCallback call;
  int arguments;
};

/* The object on top of the stack gets these functions as properties. */
void define_functions(txMachine *the, const struct host_function *functions, uint32_t count);

/* The object on top of the stack becomes a global. */
void define_global(txMachine *the, txString name);
