/* The C stack: painted at start, so that its guard word and its high-water mark can be read. */
#pragma once
#include <stdbool.h>
#include <stdint.h>

extern uint32_t stack_bottom[], stack_top[];

#define STACK_PAINT 0xa5a5a5a5u
/* JavaScript recursion stops this far above the bottom: room for one interrupt of each priority. */
#define STACK_RESERVE_BYTES 1024u

/* The lowest words are untouched: nothing has run over the end. */
static inline bool stack_intact(void) {
  return stack_bottom[0] == STACK_PAINT && stack_bottom[1] == STACK_PAINT;
}
