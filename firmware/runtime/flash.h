/* The flash chip's writable part: everything outside the image. */
#pragma once
#include <stdbool.h>
#include <stdint.h>

/* Once, before the others: finds the ROM's functions and copies the boot stage to RAM. */
void flash_start(void);

/* Copies out of the mapped flash. False when the range leaves the chip. */
bool flash_read(uint32_t offset, uint8_t *into, uint32_t count);

/* Clears bits inside one page and reads back. False: refused (image, page border) or failed. */
bool flash_program(uint32_t offset, const uint8_t *bytes, uint32_t count);

/* Sets one sector to FFh and reads back. Interrupts are off for 45 ms, 400 ms at most. */
bool flash_erase(uint32_t offset);

/* The chip's unique number in lower-case hex digits, and a NUL. */
#define BOARD_ID_CHARS 17u
const char *flash_board_id(void);
