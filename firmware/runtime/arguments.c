#include "arguments.h"
#include <stdbool.h>

/* From the engine's xsmc.h, which cannot be included beside its internal headers. */
txInteger _xsmcGetBuffer(txMachine *the, txSlot *slot, void **data, txUnsigned *count,
                         txBoolean writable);

static txSlot *argument(txMachine *the, int index) {
  if (index >= mxArgc) {
    mxTypeError("argument missing");
  }
  return mxArgv(index);
}

static bool is_number(const txSlot *slot) {
  return slot->kind == XS_INTEGER_KIND || slot->kind == XS_NUMBER_KIND;
}

static txSlot *number(txMachine *the, int index) {
  txSlot *slot = argument(the, index);
  if (!is_number(slot)) {
    mxTypeError("not a number");
  }
  return slot;
}

static double value_of(const txSlot *slot) {
  return slot->kind == XS_INTEGER_KIND ? slot->value.integer : slot->value.number;
}

static struct bytes memory_of(txMachine *the, txSlot *array, bool writable) {
  void *data;
  txUnsigned count;
  _xsmcGetBuffer(the, array, &data, &count, writable);
  return (struct bytes){data, count};
}

struct bytes array_bytes(txMachine *the, txSlot *array) { return memory_of(the, array, false); }

struct bytes argument_bytes(txMachine *the, int index) {
  return array_bytes(the, argument(the, index));
}

struct bytes array_room(txMachine *the, txSlot *array) { return memory_of(the, array, true); }

struct bytes argument_room(txMachine *the, int index) {
  return array_room(the, argument(the, index));
}

uint32_t argument_word(txMachine *the, int index, uint32_t otherwise) {
  if (index >= mxArgc || !is_number(mxArgv(index))) {
    return otherwise;
  }
  double value = value_of(mxArgv(index));
  return value >= 0 && value <= (double)UINT32_MAX ? (uint32_t)value : otherwise;
}

uint32_t argument_offset(txMachine *the, int index) {
  double value = value_of(number(the, index));
  if (!(value >= 0 && value <= (double)UINT32_MAX && value == c_floor(value))) {
    mxRangeError("not an offset");
  }
  return (uint32_t)value;
}

uint32_t argument_clipped(txMachine *the, int index, uint32_t count) {
  double value = value_of(number(the, index));
  if (value != c_floor(value)) {
    mxRangeError("not the end of a range");
  }
  return value <= 0 ? 0 : value < (double)count ? (uint32_t)value : count;
}

uint32_t argument_bits(txMachine *the, int index) {
  return (uint32_t)fxToInteger(the, number(the, index));
}

const char *argument_text(txMachine *the, int index) {
  const txSlot *slot = argument(the, index);
  if (slot->kind != XS_STRING_KIND && slot->kind != XS_STRING_X_KIND) {
    mxTypeError("not a text");
  }
  return slot->value.string;
}

void define_functions(txMachine *the, const struct host_function *functions, uint32_t count) {
  txSlot *object = the->stack;
  for (uint32_t i = 0; i < count; i++) {
    fxNewHostFunction(the, functions[i].call, functions[i].arguments, XS_NO_ID, XS_NO_ID);
    mxPushSlot(object);
    fxSetID(the, fxID(the, functions[i].name));
    mxPop();
  }
}

void define_global(txMachine *the, txString name) {
  mxPush(mxGlobal);
  fxSetID(the, fxID(the, name));
  mxPop();
}
