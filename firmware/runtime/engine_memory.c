/*
 * The engine's memory and the rest of its platform layer. All RAM between the runtime's variables and
 * the C stack is one region: the C library's heap at the bottom, above it an arena in which chunks
 * (strings, buffers) grow upwards and slots (objects) grow downwards. Nothing is ever given back.
 */
#include "engine_memory.h"
#include <errno.h>
#include <sys/stat.h>
#include <sys/time.h>
#include "xsAll.h"
#include "restart.h"
#include "stack.h"
#include "timer.h"

extern uint8_t engine_memory_start[], engine_memory_end[];

/*
 * For the machine, its tables, a frame for each `try` under way, and JSON text while it is written: that grows
 * kilobyte by kilobyte, each time into a new place beside the old one, up to the longest line.
 */
#define LIBC_HEAP_BYTES (40u * 1024u)

#define ARENA_PAINT 0xa5

static uint8_t *libc_break = engine_memory_start;
static uint8_t *libc_end = engine_memory_start + LIBC_HEAP_BYTES;
static uint8_t *arena_end = engine_memory_end;
static uint8_t *chunks_end;
static uint8_t *slots_start;

void engine_memory_use(uint8_t *start, uint8_t *end, uint32_t libc_bytes) {
  libc_break = start;
  libc_end = start + libc_bytes;
  arena_end = end;
}

static uint32_t arena_free(void) { return (uint32_t)(slots_start - chunks_end); }

void *_sbrk(int bytes) {
  if (libc_break + bytes > libc_end) {
    errno = ENOMEM;
    return (void *)-1;
  }
  void *start = libc_break;
  libc_break += bytes;
  return start;
}

void fxCreateMachinePlatform(txMachine *the) {
  (void)the;
  chunks_end = libc_end;
  slots_start = arena_end;
  /* Paint, so that the depth of the engine's stack can be seen afterwards. */
  memset(chunks_end, ARENA_PAINT, (size_t)(slots_start - chunks_end));
}

void fxDeleteMachinePlatform(txMachine *the) { (void)the; }

void *fxAllocateChunks(txMachine *the, txSize size) {
  (void)the;
  uint32_t bytes = ((uint32_t)size + 7u) & ~7u;
  if (bytes > arena_free()) {
    return C_NULL;
  }
  void *start = chunks_end;
  chunks_end += bytes;
  return start;
}

void fxFreeChunks(txMachine *the, void *chunks) {
  (void)the;
  (void)chunks;
}

txSlot *fxAllocateSlots(txMachine *the, txSize count) {
  (void)the;
  uint32_t bytes = (uint32_t)count * sizeof(txSlot);
  if (bytes > arena_free()) {
    return C_NULL;
  }
  slots_start -= bytes;
  return (txSlot *)slots_start;
}

void fxFreeSlots(txMachine *the, void *slots) {
  (void)the;
  (void)slots;
}

/* Bytecode carries final identifiers: the engine's own names, then the firmware's, in this order. */
void fxBuildKeys(txMachine *the) {
  int id = 0;
  for (; id < XS_SYMBOL_ID_COUNT; id++) {
    txSlot *description = fxNewSlot(the);
    description->kind = XS_STRING_X_KIND;
    description->value.string = (txString)gxIDStrings[id];
    the->keyArray[the->keyIndex++] = description;
  }
  for (; id < XS_ID_COUNT; id++) {
    fxNewNameX(the, (txString)gxIDStrings[id]);
  }
  for (int i = 0; i < bytecode_name_count; i++) {
    if (fxNewNameX(the, (txString)bytecode_names[i]) != XS_ID_COUNT + i) {
      fxAbort(the, XS_FATAL_CHECK_EXIT);
    }
  }
}

char *fxCStackLimit(void) { return (char *)stack_bottom + STACK_RESERVE_BYTES; }

void fxQueuePromiseJobs(txMachine *the) { fxAbort(the, XS_UNHANDLED_REJECTION_EXIT); }

txID fxFindModule(txMachine *the, txSlot *realm, txID module, txSlot *slot) {
  (void)the, (void)realm, (void)module, (void)slot;
  return XS_NO_ID;
}

void fxLoadModule(txMachine *the, txSlot *module, txID id) { (void)the, (void)module, (void)id; }

txScript *fxParseScript(txMachine *the, void *stream, txGetter getter, txUnsigned flags) {
  (void)the, (void)stream, (void)getter, (void)flags;
  return C_NULL; /* no parser on the board: eval and Function throw */
}

int _gettimeofday(struct timeval *time, void *zone) {
  (void)zone;
  uint64_t us = timer_us();
  time->tv_sec = (time_t)(us / 1000000u);
  time->tv_usec = (suseconds_t)(us % 1000000u);
  return 0;
}

/* The C library asks for these; nothing on the board reads or writes files. */
int _write(int file, char *bytes, int count) { return (void)file, (void)bytes, count; }
int _read(int file, char *bytes, int count) { return (void)file, (void)bytes, (void)count, 0; }
int _close(int file) { return (void)file, -1; }
int _lseek(int file, int offset, int whence) { return (void)file, (void)offset, (void)whence, 0; }
int _fstat(int file, struct stat *status) { return (void)file, status->st_mode = S_IFCHR, 0; }
int _isatty(int file) { return (void)file, 1; }
int _kill(int process, int signal) { return (void)process, (void)signal, -1; }
int _getpid(void) { return 1; }
void _exit(int status) { restart_because(RESET_ABORT, (uint32_t)status); }
