/*
 * An exception that nothing catches, an abort (memory, stack, unhandled rejection) and a script that
 * runs too long all end in `fxAbort`: outputs off, cause recorded, restart. There is no half-dead
 * engine to go on with.
 */
#include "xsAll.h"
#include "board_map.h"
#include "restart.h"

/*
 * The number that `BrokenInvariant` of firmware/assert.ts carries, or 0. Only looked up, nothing is called: this engine
 * has just given up.
 */
static uint32_t broken_invariant(txMachine *the, const txSlot *instance) {
  txID name = fxFindName(the, "detail");
  for (const txSlot *slot = instance->next; name && slot; slot = slot->next) {
    if (slot->ID == name && slot->kind == XS_INTEGER_KIND) {
      return (uint32_t)slot->value.integer;
    }
  }
  return 0;
}

/* What was thrown, for `resetDetail`: 1 Error to 8 AggregateError, 100 and more a broken invariant; 0 other. */
static uint32_t thrown_kind(txMachine *the) {
  if (mxException.kind != XS_REFERENCE_KIND) {
    return 0;
  }
  const txSlot *instance = mxException.value.reference;
  const txSlot *prototype = instance->value.instance.prototype;
  const txSlot *const known[] = {
      mxErrorPrototype.value.reference,          mxEvalErrorPrototype.value.reference,
      mxRangeErrorPrototype.value.reference,     mxReferenceErrorPrototype.value.reference,
      mxSyntaxErrorPrototype.value.reference,    mxTypeErrorPrototype.value.reference,
      mxURIErrorPrototype.value.reference,       mxAggregateErrorPrototype.value.reference,
  };
  for (uint32_t i = 0; i < sizeof known / sizeof known[0]; i++) {
    if (prototype == known[i]) {
      return i + 1;
    }
  }
  return broken_invariant(the, instance);
}

void fxAbort(txMachine *the, int status) {
  if (status == XS_UNHANDLED_EXCEPTION_EXIT) {
    restart_because(RESET_EXCEPTION, thrown_kind(the));
  }
  restart_because(RESET_ABORT, (uint32_t)status);
}
