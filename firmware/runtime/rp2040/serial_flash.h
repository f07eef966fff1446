/* Commands to the flash chip. Nothing can be read from flash while one goes on: all of it runs from RAM. */
#pragma once
#include <stdint.h>

/* Once, before the others; ends an erase that a run before this one has left suspended. */
void serial_flash_start(void);

/* One command: `bytes` goes out and is replaced by what came in. */
void serial_flash_exchange(uint8_t *bytes, uint32_t count);

/* A whole page, interrupts off: 0.4 ms as a rule, 3 ms at most. */
void serial_flash_program(uint32_t offset, const uint8_t *page);

/*
 * A sector. Interrupts that come meanwhile are handled within 1.1 ms: the erase is suspended for them. On a chip that
 * cannot suspend they wait for its end, 45 ms as a rule, 400 ms at most.
 */
void serial_flash_erase(uint32_t offset);
