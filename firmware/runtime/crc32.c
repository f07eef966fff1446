#include "crc32.h"

/* Four bits a step. */
static uint32_t crc_step(uint32_t crc) {
  static const uint32_t table[16] = {
      0x00000000, 0x1db71064, 0x3b6e20c8, 0x26d930ac, 0x76dc4190, 0x6b6b51f4, 0x4db26158, 0x5005713c,
      0xedb88320, 0xf00f9344, 0xd6d6a3e8, 0xcb61b38c, 0x9b64c2b0, 0x86d3d2d4, 0xa00ae278, 0xbdbdf21c,
  };
  return (crc >> 4) ^ table[crc & 15];
}

uint32_t crc32(const uint8_t *bytes, uint32_t count, uint32_t before) {
  uint32_t crc = ~before;
  for (uint32_t i = 0; i < count; i++) {
    crc = crc_step(crc_step(crc ^ bytes[i]));
  }
  return ~crc;
}
