/*
 * An exception that nothing catches, an abort (memory, stack, unhandled rejection) and a script that
 * runs too long all end in `fxAbort`: outputs off, cause recorded, restart. There is no half-dead
 * engine to go on with.
 */
#include "xsAll.h"
#include "board_map.h"
#include "restart.h"

_Static_assert(XS_NOT_ENOUGH_MEMORY_EXIT == ENGINE_ABORT_NOT_ENOUGH_MEMORY, "as in words.ts");
_Static_assert(XS_STACK_OVERFLOW_EXIT == ENGINE_ABORT_STACK_OVERFLOW, "as in words.ts");
_Static_assert(XS_TOO_MUCH_COMPUTATION_EXIT == ENGINE_ABORT_TOO_MUCH_COMPUTATION, "as in words.ts");
_Static_assert(XS_UNHANDLED_REJECTION_EXIT == ENGINE_ABORT_UNHANDLED_REJECTION, "as in words.ts");

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

#define PROTOTYPE(kind) mx##kind##Prototype.value.reference,

/* What was thrown, for `resetDetail`: its place in `ERROR_KINDS` plus 1, from INVARIANT_DETAIL a broken invariant; 0 other. */
static uint32_t thrown_kind(txMachine *the) {
  if (mxException.kind != XS_REFERENCE_KIND) {
    return 0;
  }
  const txSlot *instance = mxException.value.reference;
  const txSlot *prototype = instance->value.instance.prototype;
  const txSlot *const known[] = {ERROR_KINDS(PROTOTYPE)};
  _Static_assert(sizeof known / sizeof known[0] < INVARIANT_DETAIL, "kinds of error end below");
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
