/* Every call into JavaScript: `enter` meters it, and what it does not catch ends the run (engine_abort.c). */
#include "engine.h"
#include "xsAll.h"
#include "arguments.h"
#include "board_map.h"
#include "engine_memory.h"
#include "figures.h"
#include "realm.h"
#include "restart.h"
#include "script_time.h"
#include "timer.h"

/* Bytecodes between two looks at the time: well under a millisecond. */
#define METER_INTERVAL 2000u

/*
 * Slots are 16 bytes. The first block holds the firmware's objects with room to spare, so that the
 * collector runs rarely; later blocks are small enough not to waste the arena.
 */
static const txCreation creation = {
    .stackCount = 1024,
    .initialChunkSize = 40 * 1024,
    .incrementalChunkSize = 4 * 1024,
    .initialHeapCount = 5120,
    .incrementalHeapCount = 256,
    .initialKeyCount = 128,
    .incrementalKeyCount = 64,
    ENGINE_COMMON_CREATION,
};

struct figures figures;

static txMachine *machine;
static txID id_controller, id_tick, id_rest, id_receive;

static txBoolean in_time(txMachine *the, txU4 meter) {
  (void)the, (void)meter;
  return script_time_left();
}

/* The engine counts slots up as it hands them out and starts again from the live ones at a collection. */
static void note_collections(txMachine *the) {
  static txSize seen_slots;
  if (the->currentHeapCount < seen_slots) {
    figures.collections++;
    figures.live_slots = (uint32_t)the->currentHeapCount;
    figures.live_chunk_bytes = (uint32_t)the->currentChunksSize;
  }
  seen_slots = the->currentHeapCount;
}

/*
 * Everything that enters JavaScript goes through here: metered, and whatever is not caught ends the run. `leave_ms`: as
 * for `script_time_start`.
 */
static void enter(void (*call)(txMachine *the, void *argument), void *argument, uint32_t limit_ms,
                  uint32_t leave_ms) {
  txMachine *the = machine;
  script_time_start(limit_ms, leave_ms);
  fxBeginHost(the);
  fxBeginMetering(the, in_time, METER_INTERVAL);
  {
    mxTry(the) { call(the, argument); }
    mxCatch(the) { fxAbort(the, XS_UNHANDLED_EXCEPTION_EXIT); }
  }
  fxCheckUnhandledRejections(the, true); /* at once: nothing runs later that could still handle one */
  fxEndMetering(the);
  fxEndHost(the);
  script_time_end();
  note_collections(the);
}

/* controller = createController(board) */
static void call_create(txMachine *the, void *argument) {
  (void)argument;
  mxPush(mxGlobal);
  fxCallID(the, fxID(the, "createController"));
  mxPush(mxGlobal);
  fxGetID(the, fxID(the, "board"));
  mxRunCount(1);
  mxPush(mxGlobal);
  fxSetID(the, id_controller);
  mxPop();
}

static void push_controller(txMachine *the) {
  mxPush(mxGlobal);
  fxGetID(the, id_controller);
}

static void call_tick(txMachine *the, void *argument) {
  (void)argument;
  push_controller(the);
  fxCallID(the, id_tick);
  mxRunCount(0);
  mxPop();
}

static void call_rest(txMachine *the, void *argument) {
  (void)argument;
  push_controller(the);
  fxCallID(the, id_rest);
  mxRunCount(0);
  mxPop();
}

struct message {
  uint32_t door;
  const uint8_t *bytes;
  uint32_t count;
};

static void call_receive(txMachine *the, void *argument) {
  const struct message *message = argument;
  push_controller(the);
  fxCallID(the, id_receive);
  mxPushInteger((txInteger)message->door);
  mxPush(mxUint8ArrayConstructor);
  mxNew();
  mxPushInteger((txInteger)message->count);
  mxRunCount(1);
  c_memcpy(array_room(the, the->stack).data, message->bytes, message->count);
  mxRunCount(2);
  mxPop();
}

void engine_start(void) {
  if (realm_wanted()) {
    realm_freeze();
  }
  machine = realm_clone((txCreation *)&creation);
  if (!machine) {
    restart_because(RESET_FAULT, FAULT_NO_MEMORY_FOR_ENGINE);
  }
  id_controller = fxID(machine, "controller");
  id_tick = fxID(machine, "tick");
  id_rest = fxID(machine, "rest");
  id_receive = fxID(machine, "receive");
  enter(call_create, C_NULL, SCRIPT_START_LIMIT_MS, 0);
  /* What the start left behind is garbage now; later collections have less to move. */
  fxCollectGarbage(machine);
  note_collections(machine);
  figures.start_us = (uint32_t)timer_us();
}

void engine_tick(void) {
  uint64_t begin_us = timer_us();
  enter(call_tick, C_NULL, SCRIPT_LIMIT_MS, 0);
  figures.tick_us = (uint32_t)(timer_us() - begin_us);
  figures.ticks++;
  if (figures.tick_us > figures.tick_max_us) {
    figures.tick_max_us = figures.tick_us;
  }
}

void engine_rest(void) { enter(call_rest, C_NULL, SCRIPT_LIMIT_MS, SCRIPT_LIMIT_MS); }

void engine_receive(uint32_t door, const uint8_t *bytes, uint32_t count) {
  struct message message = {door, bytes, count};
  enter(call_receive, &message, SCRIPT_LIMIT_MS, SCRIPT_LIMIT_MS);
}
