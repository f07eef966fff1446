/* What the runtime measures about itself, for the emulated bench and for a debugger. */
#pragma once
#include <stdint.h>

struct figures {
  uint32_t start_us; /* from `timer_start` until the controller is ready */
  uint32_t ticks;
  uint32_t tick_us;
  uint32_t tick_max_us;
  uint32_t collections;
  uint32_t live_slots; /* after the last collection seen */
  uint32_t live_chunk_bytes;
};

extern struct figures figures;
