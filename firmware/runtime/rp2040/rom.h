/* RP2040 data sheet 2.8.3: functions of the ROM, by a table of two-letter codes. */
#pragma once
#include <stdint.h>

#define ROM_TABLE_POINTER ((const uint16_t *)0x14)
#define ROM_LOOKUP_POINTER ((const uint16_t *)0x18)

typedef void *(*rom_lookup)(const uint16_t *table, uint32_t code);

static inline void *rom_function(char a, char b) {
  rom_lookup lookup = (rom_lookup)(uintptr_t)*ROM_LOOKUP_POINTER;
  return lookup((const uint16_t *)(uintptr_t)*ROM_TABLE_POINTER, (uint32_t)a | (uint32_t)b << 8);
}
