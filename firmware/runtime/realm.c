#include "realm.h"
#include "board.h"
#include "board_map.h"
#include "bytes.h"
#include "engine_memory.h"
#include "processor.h"
#include "xsScript.h"

struct header {
  volatile uint32_t state; /* REALM_*: what the build wants, and what came of it */
  txMachine *root;
};

extern struct header realm_start;
extern uint8_t realm_end[];

/* The C library's part holds the machine, its tables and one word for each name. */
#define REALM_LIBC_BYTES (17u * 1024u)
/* The firmware's own names: methods, properties, functions. It has some 1,920; the scripts of the tests, which run alone, a few dozen. */
#define NAMES_MAX 2048

/* Just enough for what is frozen; the rest is dead weight in flash. */
static const txCreation frozen = {
    /* What the script has at its top is on the stack until it has run: functions, classes, tables. */
    .stackCount = 1536,
    .initialChunkSize = 24 * 1024,
    .incrementalChunkSize = 1024,
    .initialHeapCount = 15104,
    .incrementalHeapCount = 64,
    .initialKeyCount = XS_ID_COUNT + NAMES_MAX,
    .incrementalKeyCount = 64,
    ENGINE_COMMON_CREATION,
};

static void __attribute__((noreturn)) end_with(uint32_t state) {
  realm_start.state = state;
  for (;;) {
    sleep_until_interrupt();
  }
}

bool realm_wanted(void) { return realm_start.state == REALM_WANTED; }

/* Chunks in flash must not be marked by the collector, so every kind becomes the one that is not. */
static void make_constant(txSlot *slot) {
  switch (slot->kind) {
    case XS_STRING_KIND: slot->kind = XS_STRING_X_KIND; break;
    case XS_KEY_KIND: slot->kind = XS_KEY_X_KIND; break;
    case XS_BIGINT_KIND: slot->kind = XS_BIGINT_X_KIND; break;
    case XS_CODE_KIND: slot->kind = XS_CODE_X_KIND; break;
    /* What is written in place cannot be copied on the first write: a TypeError, not a fault. */
    case XS_ARRAY_BUFFER_KIND:
    case XS_MAP_KIND:
    case XS_SET_KIND: slot->flag |= XS_DONT_SET_FLAG; break;
    default: break;
  }
}

/* Nobody patches functions. Frozen ones need no word in RAM for a copy that a write would make. */
static void freeze_function(txSlot *instance) {
  if (instance->kind != XS_INSTANCE_KIND) {
    return;
  }
  const txSlot *code = instance->next;
  bool is_function = code && (code->flag & XS_INTERNAL_FLAG) &&
                     (code->kind == XS_CODE_KIND || code->kind == XS_CODE_X_KIND ||
                      code->kind == XS_CALLBACK_KIND || code->kind == XS_CALLBACK_X_KIND);
  if (!is_function) {
    return;
  }
  instance->flag |= XS_DONT_PATCH_FLAG;
  for (txSlot *property = instance->next; property; property = property->next) {
    property->flag |= XS_DONT_DELETE_FLAG;
    if (property->kind != XS_ACCESSOR_KIND) {
      property->flag |= XS_DONT_SET_FLAG;
    }
  }
}

static void make_array_constant(txSlot *array) {
  const txChunk *chunk = (txChunk *)((txByte *)array->value.array.address - sizeof(txChunk));
  txSize count = chunk->size / (txSize)sizeof(txSlot);
  for (txSize i = 0; i < count; i++) {
    make_constant(array->value.array.address + i);
    array->value.array.address[i].flag |= XS_MARK_FLAG;
  }
}

static void make_slot_constant(txSlot *slot) {
  make_constant(slot);
  if (slot->kind == XS_ARRAY_KIND && slot->value.array.address) {
    make_array_constant(slot);
  }
}

/* The engine writes its captures into the compiled expression at each match. */
static void refuse_regexp(txSlot *slot) {
  if (slot->kind == XS_REGEXP_KIND) {
    end_with(REALM_HAS_REGEXP);
  }
}

/* A block of slots begins with one that tells where it ends. */
static void each_slot(txMachine *the, void (*visit)(txSlot *slot)) {
  for (txSlot *heap = the->firstHeap; heap; heap = heap->next) {
    for (txSlot *slot = heap + 1; slot < heap->value.reference; slot++) {
      visit(slot);
    }
  }
}

static void make_all_constant(txMachine *the) {
  each_slot(the, make_slot_constant);
  for (txSlot *slot = the->stack; slot < the->stackTop; slot++) {
    make_constant(slot);
  }
}

static void run_script(txMachine *the) {
  /* Without a symbols buffer the engine takes the code as it lies, in flash. */
  static txScript script;
  script.codeBuffer = (txS1 *)bytecode;
  script.codeSize = bytecode_bytes;
  txSlot *realm = mxModuleInstanceInternal(mxProgram.value.reference)->value.module.realm;
  fxRunScript(the, &script, mxRealmGlobal(realm), C_NULL, mxRealmClosures(realm)->value.reference,
              C_NULL, mxProgram.value.reference);
  mxPop();
}

void realm_freeze(void) {
  engine_memory_use((uint8_t *)(&realm_start + 1), realm_end, REALM_LIBC_BYTES);
  txMachine *the = fxCreateMachine((txCreation *)&frozen, "realm", C_NULL, XS_NO_ID);
  fxBeginHost(the);
  {
    mxTry(the) {
      board_define(the);
      bytes_define(the);
      run_script(the);
    }
    mxCatch(the) { end_with(REALM_FAILED); }
  }
  each_slot(the, refuse_regexp);
  fxEndHost(the);
  /* Looking a name up leaves a note in the global object, which cannot be written later. */
  for (txID id = 1; id < the->keyIndex; id++) {
    mxBehaviorGetProperty(the, mxGlobal.value.reference, id, 0, XS_ANY);
  }
  fxCollectGarbage(the);
  each_slot(the, freeze_function);
  fxShareMachine(the);
  make_all_constant(the);
  realm_start.root = the;
  end_with(REALM_FROZEN);
}

txMachine *realm_clone(txCreation *creation) {
  if (realm_start.state != REALM_FROZEN) {
    return C_NULL;
  }
  return fxCloneMachine(creation, realm_start.root, "board", C_NULL);
}
