/* CRC-32/ISO-HDLC, reflected polynomial EDB88320h: of the link's lines, and of what lies in flash. */
#pragma once
#include <stdint.h>

/* That of `count` bytes behind those whose CRC is `before`; 0: behind none. */
uint32_t crc32(const uint8_t *bytes, uint32_t count, uint32_t before);
