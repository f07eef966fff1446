/*
 * RP2040 data sheet 2.8.3.1.3: the ROM's flash functions; afterwards the boot stage's copy in RAM sets the fast read mode up
 * again (the ROM alone would leave the slow one). Erases are done without the ROM, which waits for their end: commands are
 * those of the W25Q16JV data sheet, section 8.
 */
#include "serial_flash.h"
#include <stdbool.h>
#include <stddef.h>
#include <string.h>
#include "board_map.h"
#include "pause.h"
#include "processor.h"
#include "registers.h"
#include "rom.h"

#define BOOT2_WORDS 64u

#define GPIO_QSPI_SS_CTRL (IO_QSPI_BASE + 0x0c)
#define OUTOVER_LOW (2u << 8)
#define OUTOVER_HIGH (3u << 8)
#define OUTOVER_MASK (3u << 8)
#define SSI_SR (XIP_SSI_BASE + 0x28)
#define SSI_DR0 (XIP_SSI_BASE + 0x60)
#define SR_RFNE (1u << 3)

#define READ_STATUS_1 0x05u
#define STATUS_1_BUSY (1u << 0)
#define WRITE_ENABLE 0x06u
#define SECTOR_ERASE 0x20u
#define ADDRESS_BYTES 3u
#define SUSPEND 0x75u
#define RESUME 0x7au
/* A look takes more than a microsecond; a chip that suspends has done so in 20 (tSUS). */
#define SUSPEND_LOOKS_MAX 50u
/*
 * How long an erase goes on before it is looked at, and so before it is suspended again: W25Q asks for 20 us, other makers
 * for 1 ms, and in less an erase may get nowhere. The doors bear it: USB 50 ms, UART0 2.4 ms.
 */
#define ERASE_STRETCH_US 1000u

typedef void (*rom_plain)(void);
typedef void (*rom_program)(uint32_t offset, const uint8_t *bytes, size_t count);

static rom_plain connect_internal_flash, flash_exit_xip, flash_flush_cache;
static rom_program flash_range_program;
static uint32_t boot2_copy[BOOT2_WORDS];

IN_RAM static void leave_mapped_mode(void) {
  connect_internal_flash();
  flash_exit_xip();
}

IN_RAM static void enter_mapped_mode(void) {
  flash_flush_cache(); /* also ends the forcing of the chip select */
  ((rom_plain)((uintptr_t)boot2_copy | 1u))();
}

/* Forces the flash's chip select to a level (data sheet 2.19.6.2). */
IN_RAM static void select_flash(uint32_t override) {
  REG(GPIO_QSPI_SS_CTRL) = (REG(GPIO_QSPI_SS_CTRL) & ~OUTOVER_MASK) | override;
}

IN_RAM static uint8_t swap_byte(uint8_t out) {
  REG(SSI_DR0) = out;
  while (!(REG(SSI_SR) & SR_RFNE)) {
  }
  return (uint8_t)REG(SSI_DR0);
}

/* `code`, and the lowest `count` bytes of `argument`, highest first; the last byte that came in. */
IN_RAM static uint8_t command(uint8_t code, uint32_t argument, uint32_t count) {
  select_flash(OUTOVER_LOW);
  uint8_t reply = swap_byte(code);
  for (uint32_t shift = 8 * count; shift > 0; shift -= 8) {
    reply = swap_byte((uint8_t)(argument >> (shift - 8)));
  }
  select_flash(OUTOVER_HIGH);
  return reply;
}

IN_RAM static bool is_busy(void) { return command(READ_STATUS_1, 0, 1) & STATUS_1_BUSY; }

/* False: the chip erases on. */
IN_RAM static bool suspend_erase(void) {
  command(SUSPEND, 0, 0);
  for (uint32_t look = 0; look < SUSPEND_LOOKS_MAX; look++) {
    if (!is_busy()) {
      return true;
    }
  }
  return false;
}

/* An erase that has ended meanwhile is resumed as well: the chip takes no notice. */
IN_RAM static void let_interrupts_in(void) {
  enter_mapped_mode();
  interrupts_let_in();
  leave_mapped_mode();
  command(RESUME, 0, 0);
}

/* False: it was told to suspend and went on, at least for as long as it was looked at. */
IN_RAM static bool await_rest(bool suspends) {
  while (is_busy()) {
    pause_us(ERASE_STRETCH_US);
    if (suspends && interrupt_waits()) {
      suspends = suspend_erase();
      if (suspends) {
        let_interrupts_in();
      }
    }
    if (!suspends) {
      systick_drop(); /* it would let nothing sleep; the next one looks as well */
    }
  }
  return suspends;
}

IN_RAM static void await_erase(void) {
  if (!await_rest(true)) {
    command(RESUME, 0, 0); /* a chip that suspended after all is not busy, either, and not done */
    await_rest(false);
  }
}

IN_RAM void serial_flash_erase(uint32_t offset) {
  uint32_t primask = interrupts_off();
  leave_mapped_mode();
  command(WRITE_ENABLE, 0, 0);
  command(SECTOR_ERASE, offset, ADDRESS_BYTES);
  await_erase();
  enter_mapped_mode();
  interrupts_restore(primask);
}

IN_RAM void serial_flash_program(uint32_t offset, const uint8_t *page) {
  uint32_t primask = interrupts_off();
  leave_mapped_mode();
  flash_range_program(offset, page, FLASH_PAGE_BYTES);
  enter_mapped_mode();
  interrupts_restore(primask);
}

IN_RAM void serial_flash_exchange(uint8_t *bytes, uint32_t count) {
  uint32_t primask = interrupts_off();
  leave_mapped_mode();
  select_flash(OUTOVER_LOW);
  for (uint32_t i = 0; i < count; i++) {
    bytes[i] = swap_byte(bytes[i]);
  }
  select_flash(OUTOVER_HIGH);
  enter_mapped_mode();
  interrupts_restore(primask);
}

/* A fault while the interrupts were let in restarts the board, and the chip with its supply on knows nothing of that. */
IN_RAM static void end_suspended_erase(void) {
  uint32_t primask = interrupts_off();
  leave_mapped_mode();
  command(RESUME, 0, 0);
  await_erase();
  enter_mapped_mode();
  interrupts_restore(primask);
}

void serial_flash_start(void) {
  memcpy(boot2_copy, (const void *)XIP_BASE, sizeof boot2_copy);
  connect_internal_flash = (rom_plain)rom_function('I', 'F');
  flash_exit_xip = (rom_plain)rom_function('E', 'X');
  flash_range_program = (rom_program)rom_function('R', 'P');
  flash_flush_cache = (rom_plain)rom_function('F', 'C');
  end_suspended_erase();
}
