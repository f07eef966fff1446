/* What the flash chip is, and which of its places may be written: what is done to it lies in serial_flash.c. */
#include "flash.h"
#include <string.h>
#include "board_map.h"
#include "registers.h"
#include "serial_flash.h"

#define READ_JEDEC_ID 0x9fu
#define JEDEC_BYTES 3u
/* The third byte is the power of two; from 64 KB on, and 256 MB are the most that a chip of this kind has. */
#define JEDEC_POWER_MIN 16u
#define JEDEC_POWER_MAX 28u
#define READ_UNIQUE_ID 0x4bu
#define UNIQUE_ID_DUMMY_BYTES 4u
#define UNIQUE_ID_BYTES 8u

static uint8_t page[FLASH_PAGE_BYTES];
static struct flash_chip chip;
static char board_id[BOARD_ID_CHARS];
_Static_assert(BOARD_ID_CHARS == 2 * UNIQUE_ID_BYTES + 1, "two digits a byte");

static void read_board_id(void) {
  uint8_t bytes[1 + UNIQUE_ID_DUMMY_BYTES + UNIQUE_ID_BYTES] = {READ_UNIQUE_ID};
  serial_flash_exchange(bytes, sizeof bytes);
  for (uint32_t i = 0; i < UNIQUE_ID_BYTES; i++) {
    uint8_t byte = bytes[1 + UNIQUE_ID_DUMMY_BYTES + i];
    board_id[2 * i] = "0123456789abcdef"[byte >> 4];
    board_id[2 * i + 1] = "0123456789abcdef"[byte & 15];
  }
}

/* Whether the chip shows its first page again this far on: then it ends there, whatever it says of itself. */
static bool begins_again(uint32_t offset) {
  return memcmp((const uint8_t *)XIP_BASE + offset, (const void *)XIP_BASE, FLASH_PAGE_BYTES) == 0;
}

static void identify_chip(void) {
  uint8_t bytes[1 + JEDEC_BYTES] = {READ_JEDEC_ID};
  serial_flash_exchange(bytes, sizeof bytes);
  memcpy(chip.jedec, bytes + 1, JEDEC_BYTES);
  uint32_t power = chip.jedec[2];
  chip.bytes = power >= JEDEC_POWER_MIN && power <= JEDEC_POWER_MAX ? 1u << power : 0;
  for (uint32_t end = FLASH_IMAGE_BYTES; end < FLASH_BYTES && end < chip.bytes; end *= 2) {
    if (begins_again(end)) {
      chip.bytes = end;
    }
  }
}

struct flash_chip flash_chip(void) { return chip; }

bool flash_fits(void) { return chip.bytes >= FLASH_BYTES; }

void flash_start(void) {
  serial_flash_start();
  identify_chip();
  read_board_id();
}

static bool in_chip(uint32_t offset, uint32_t count) {
  return offset <= FLASH_BYTES && count <= FLASH_BYTES - offset;
}

static bool writable(uint32_t offset, uint32_t count) {
  return flash_fits() && in_chip(offset, count) && offset >= FLASH_IMAGE_OFFSET + FLASH_IMAGE_BYTES;
}

bool flash_read(uint32_t offset, uint8_t *into, uint32_t count) {
  if (!in_chip(offset, count)) {
    return false;
  }
  memcpy(into, (const uint8_t *)XIP_BASE + offset, count);
  return true;
}

bool flash_program(uint32_t offset, const uint8_t *bytes, uint32_t count) {
  uint32_t start = offset % FLASH_PAGE_BYTES;
  if (!writable(offset, count) || count > FLASH_PAGE_BYTES - start) {
    return false;
  }
  memset(page, 0xff, sizeof page); /* ones leave the rest of the page as it is */
  memcpy(page + start, bytes, count);
  serial_flash_program(offset - start, page);
  return memcmp((const uint8_t *)XIP_BASE + offset, page + start, count) == 0;
}

bool flash_erase(uint32_t offset) {
  if (!writable(offset, FLASH_SECTOR_BYTES) || offset % FLASH_SECTOR_BYTES != 0) {
    return false;
  }
  serial_flash_erase(offset);
  const uint32_t *words = (const uint32_t *)(XIP_BASE + offset);
  for (uint32_t i = 0; i < FLASH_SECTOR_BYTES / 4; i++) {
    if (words[i] != 0xffffffffu) {
      return false;
    }
  }
  return true;
}

const char *flash_board_id(void) { return board_id; }
