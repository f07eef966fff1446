/*
 * Byte queue with one writer and one reader, either of which may be an interrupt: so a byte must lie in
 * the queue before the count says so, and must have been fetched before its place is given back.
 */
#pragma once
#include <stdbool.h>
#include <stdint.h>
#include "processor.h"

/* `size` is a power of two; the counters run freely and wrap. */
struct ring {
  uint8_t *const bytes;
  const uint32_t size;
  volatile uint32_t written;
  volatile uint32_t read;
};

#define RING(storage) {.bytes = (storage), .size = sizeof(storage)}

static inline uint32_t ring_used(const struct ring *ring) { return ring->written - ring->read; }

static inline uint32_t ring_free(const struct ring *ring) { return ring->size - ring_used(ring); }

/* Caller has checked `ring_free`. */
static inline void ring_put(struct ring *ring, uint8_t byte) {
  ring->bytes[ring->written & (ring->size - 1)] = byte;
  compiler_barrier();
  ring->written++;
}

/* Caller has checked `ring_used`. */
static inline uint8_t ring_take(struct ring *ring) {
  uint8_t byte = ring->bytes[ring->read & (ring->size - 1)];
  compiler_barrier();
  ring->read++;
  return byte;
}

/* All of `bytes`, or nothing. */
static inline bool ring_write(struct ring *ring, const uint8_t *bytes, uint32_t count) {
  if (count > ring_free(ring)) {
    return false;
  }
  for (uint32_t i = 0; i < count; i++) {
    ring_put(ring, bytes[i]);
  }
  return true;
}

/* Up to `limit` bytes, and none behind the newline that ends a line with something in it; how many. */
static inline uint32_t ring_read_line(struct ring *ring, uint8_t *bytes, uint32_t limit) {
  uint32_t count = 0;
  bool blank = true;
  while (count < limit && ring_used(ring) > 0) {
    uint8_t byte = bytes[count++] = ring_take(ring);
    if (byte == '\n' && !blank) {
      break;
    }
    blank = blank && (byte == '\n' || byte == '\r');
  }
  return count;
}
