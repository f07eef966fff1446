/*
 * RP2040 data sheet 2.8.3.1.3: the ROM's flash functions. While they run nothing can be read from
 * flash, so this code is in RAM, interrupts are off, and afterwards the boot stage's copy in RAM
 * sets the fast read mode up again (the ROM alone would leave the slow one).
 */
#include "flash.h"
#include <string.h>
#include "board_map.h"
#include "processor.h"
#include "registers.h"
#include "rom.h"

/* W25Q16JV data sheet, section 8: what the ROM may erase by the block; a sector is less than one. */
#define BLOCK_BYTES 0x10000u
#define BLOCK_ERASE_COMMAND 0xd8u
#define BOOT2_WORDS 64u

#define GPIO_QSPI_SS_CTRL (IO_QSPI_BASE + 0x0c)
#define OUTOVER_LOW (2u << 8)
#define OUTOVER_HIGH (3u << 8)
#define OUTOVER_MASK (3u << 8)
#define SSI_SR (XIP_SSI_BASE + 0x28)
#define SSI_DR0 (XIP_SSI_BASE + 0x60)
#define SR_RFNE (1u << 3)
#define READ_JEDEC_ID 0x9fu
#define JEDEC_BYTES 3u
/* The third byte is the power of two; from 64 KB on, and 256 MB are the most that a chip of this kind has. */
#define JEDEC_POWER_MIN 16u
#define JEDEC_POWER_MAX 28u
#define READ_UNIQUE_ID 0x4bu
#define UNIQUE_ID_DUMMY_BYTES 4u
#define UNIQUE_ID_BYTES 8u

typedef void (*rom_plain)(void);
typedef void (*rom_erase)(uint32_t offset, size_t count, uint32_t block_size, uint8_t block_command);
typedef void (*rom_program)(uint32_t offset, const uint8_t *bytes, size_t count);

static rom_plain connect_internal_flash, flash_exit_xip, flash_flush_cache;
static rom_erase flash_range_erase;
static rom_program flash_range_program;
static uint32_t boot2_copy[BOOT2_WORDS];
static uint8_t page[FLASH_PAGE_BYTES];
static struct flash_chip chip;
static char board_id[BOARD_ID_CHARS];
_Static_assert(BOARD_ID_CHARS == 2 * UNIQUE_ID_BYTES + 1, "two digits a byte");

IN_RAM static void leave_mapped_mode(void) {
  connect_internal_flash();
  flash_exit_xip();
}

IN_RAM static void enter_mapped_mode(void) {
  flash_flush_cache();
  ((rom_plain)((uintptr_t)boot2_copy | 1u))();
}

IN_RAM static void erase_sector(uint32_t offset) {
  uint32_t primask = interrupts_off();
  leave_mapped_mode();
  flash_range_erase(offset, FLASH_SECTOR_BYTES, BLOCK_BYTES, BLOCK_ERASE_COMMAND);
  enter_mapped_mode();
  interrupts_restore(primask);
}

IN_RAM static void program_page(uint32_t offset) {
  uint32_t primask = interrupts_off();
  leave_mapped_mode();
  flash_range_program(offset, page, FLASH_PAGE_BYTES);
  enter_mapped_mode();
  interrupts_restore(primask);
}

/* Forces the flash's chip select to a level (data sheet 2.19.6.2). */
IN_RAM static void select_flash(uint32_t override) {
  REG(GPIO_QSPI_SS_CTRL) = (REG(GPIO_QSPI_SS_CTRL) & ~OUTOVER_MASK) | override;
}

/* One command with its chip select held by hand; `bytes` goes out and is replaced by what came in. */
IN_RAM static void exchange(uint8_t *bytes, uint32_t count) {
  uint32_t primask = interrupts_off();
  leave_mapped_mode();
  select_flash(OUTOVER_LOW);
  for (uint32_t i = 0; i < count; i++) {
    REG(SSI_DR0) = bytes[i];
    while (!(REG(SSI_SR) & SR_RFNE)) {
    }
    bytes[i] = (uint8_t)REG(SSI_DR0);
  }
  select_flash(OUTOVER_HIGH);
  enter_mapped_mode(); /* also ends the forcing of the chip select */
  interrupts_restore(primask);
}

static void read_board_id(void) {
  uint8_t bytes[1 + UNIQUE_ID_DUMMY_BYTES + UNIQUE_ID_BYTES] = {READ_UNIQUE_ID};
  exchange(bytes, sizeof bytes);
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
  exchange(bytes, sizeof bytes);
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
  memcpy(boot2_copy, (const void *)XIP_BASE, sizeof boot2_copy);
  connect_internal_flash = (rom_plain)rom_function('I', 'F');
  flash_exit_xip = (rom_plain)rom_function('E', 'X');
  flash_range_erase = (rom_erase)rom_function('R', 'E');
  flash_range_program = (rom_program)rom_function('R', 'P');
  flash_flush_cache = (rom_plain)rom_function('F', 'C');
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
  program_page(offset - start);
  return memcmp((const uint8_t *)XIP_BASE + offset, page + start, count) == 0;
}

bool flash_erase(uint32_t offset) {
  if (!writable(offset, FLASH_SECTOR_BYTES) || offset % FLASH_SECTOR_BYTES != 0) {
    return false;
  }
  erase_sector(offset);
  const uint32_t *words = (const uint32_t *)(XIP_BASE + offset);
  for (uint32_t i = 0; i < FLASH_SECTOR_BYTES / 4; i++) {
    if (words[i] != 0xffffffffu) {
      return false;
    }
  }
  return true;
}

const char *flash_board_id(void) { return board_id; }
