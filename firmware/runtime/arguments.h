/*
 * Arguments of host functions, as C wants them. Nothing here calls back into JavaScript or allocates, so
 * memory that one argument gave stays where it is while the others are read; but anything that makes a
 * string or an object may move it. An argument of the wrong kind is a TypeError.
 */
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

/* The same to be written to; a TypeError when the array lies in flash. */
struct bytes array_room(txMachine *the, txSlot *array);
struct bytes argument_room(txMachine *the, int index);

/* A number as an unsigned word; what is no number, negative, not finite or too large is `otherwise`. */
uint32_t argument_word(txMachine *the, int index, uint32_t otherwise);

/* An offset: RangeError unless it is a whole number from 0 on. */
uint32_t argument_offset(txMachine *the, int index);

/* An end of a range in an array of `count`: clipped to 0..count, RangeError for a fraction or NaN. */
uint32_t argument_clipped(txMachine *the, int index, uint32_t count);

/* The low 32 bits, as JavaScript takes them for `number | 0`. */
uint32_t argument_bits(txMachine *the, int index);

/* CESU-8 and a zero byte; valid like `argument_bytes`. */
const char *argument_text(txMachine *the, int index);

struct host_function {
  txString name;
  txCallback call;
  int arguments;
};

/* The object on top of the stack gets these functions as properties. */
void define_functions(txMachine *the, const struct host_function *functions, uint32_t count);

/* The object on top of the stack becomes a global. */
void define_global(txMachine *the, txString name);
