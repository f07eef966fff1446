#include "arguments.h"
#include <stdbool.h>

/* From the engine's xsmc.h, which cannot be included beside its internal headers. */
txInteger _xsmcGetBuffer(txMachine *the, txSlot *slot, void **data, txUnsigned *count,
                         txBoolean writable);

static struct bytes memory_of(txMachine *the, txSlot *array, bool writable) {
  void *data;
  txUnsigned count;
  _xsmcGetBuffer(the, array, &data, &count, writable);
  return (struct bytes){data, count};
}

struct bytes array_bytes(txMachine *the, txSlot *array) { return memory_of(the, array, false); }

struct bytes argument_bytes(txMachine *the, int index) { return array_bytes(the, mxArgv(index)); }

struct bytes array_room(txMachine *the, txSlot *array) { return memory_of(the, array, true); }

struct bytes argument_room(txMachine *the, int index) { return array_room(the, mxArgv(index)); }

uint32_t argument_word(txMachine *the, int index, uint32_t otherwise) {
  txNumber number = fxToNumber(the, mxArgv(index));
  return number >= 0 && number <= (txNumber)UINT32_MAX ? (uint32_t)number : otherwise;
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
