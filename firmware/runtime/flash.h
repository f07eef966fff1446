/* The flash chip's writable part: everything outside the image. */
#pragma once
#include <stdbool.h>
#include <stdint.h>

/* Once, before the others: makes ready what writes to it, asks the chip what it is. */
void flash_start(void);

/*
 * What the chip says it is (JEDEC: maker, type, size), and what it holds as far as that can be told, 0 when it
 * cannot. One that does not hold the whole flash map takes no program and no erase: beyond its end it begins again,
 * at the boot stage.
 */
struct flash_chip {
  uint8_t jedec[3];
  uint32_t bytes;
};
struct flash_chip flash_chip(void);
bool flash_fits(void);

/* Copies out of the mapped flash. False when the range leaves the chip. */
bool flash_read(uint32_t offset, uint8_t *into, uint32_t count);

/* Clears bits inside one page and reads back. False: refused (image, page border, a chip that does not fit) or failed. */
bool flash_program(uint32_t offset, const uint8_t *bytes, uint32_t count);

/* Sets one sector to FFh and reads back: 45 ms as a rule, 400 ms at most, and interrupts are handled meanwhile. */
bool flash_erase(uint32_t offset);

/* The chip's unique number in lower-case hex digits, and a NUL. */
#define BOARD_ID_CHARS 17u
const char *flash_board_id(void);
